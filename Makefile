# One word per job; `make help` lists them.
VENV := .venv
PY := $(VENV)/bin/python
STAMP := $(VENV)/.ready
CODE := src tests bench $(wildcard docs/*.py)

help: ## list these words
	@grep -hE '^[a-z-]+:.*## ' $(MAKEFILE_LIST) | sed 's/:.*## /\t/' | expand -t 12

setup: $(STAMP) ## make the virtual environment

$(STAMP): pyproject.toml constraints.txt
	@test -x $(PY) || python3 -m venv $(VENV)
	@$(PY) -m pip install --quiet --disable-pip-version-check --constraint constraints.txt --editable '.[dev]'
	@$(PY) -c 'from seamwright.rack.ready import get_ready; get_ready()'
	@touch $@

run: setup ## plan the demo board, prove the plan, write its papers to out/demo
	@$(PY) -m seamwright demo

serve: setup ## open the shop on screen, in the browser of this machine
	@$(PY) -m seamwright serve

fmt: setup ## format the code
	@$(VENV)/bin/ruff check --fix --quiet $(CODE); $(VENV)/bin/ruff format --quiet $(CODE)

lint: setup web ## style, types, import directions, file lengths
	@$(VENV)/bin/ruff check --quiet $(CODE)
	@$(VENV)/bin/ruff format --check --quiet $(CODE)
	@$(VENV)/bin/mypy
	@$(VENV)/bin/lint-imports
	@build/web/node_modules/.bin/tsc --project .ci/jsconfig.json
	@.ci/lengths

test: lint ## everything
	@$(PY) -m pytest --numprocesses 2 --dist loadfile

packages: ## install the Debian packages that the tests need, where missing
	@.ci/packages

web: packages ## fetch what the checks of the screens need from npm, where missing
	@.ci/web

bench: setup ## measure: each script in bench/ in turn
	@set -e; for script in bench/*_bench.py; do echo "== $$script"; $(PY) $$script; done

docs: setup ## write the pages and pictures that come out of the code
	@$(PY) docs/make_pages.py

.PHONY: help setup run serve fmt lint test packages web bench docs
