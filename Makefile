# One word per job; `make help` lists them.
VENV := .venv
PY := $(VENV)/bin/python
STAMP := $(VENV)/.ready

help: ## list these words
	@grep -hE '^[a-z-]+:.*## ' $(MAKEFILE_LIST) | sed 's/:.*## /\t/' | expand -t 12

setup: $(STAMP) ## make the virtual environment

$(STAMP): pyproject.toml constraints.txt
	@test -x $(PY) || python3 -m venv $(VENV)
	@$(PY) -m pip install --quiet --disable-pip-version-check --constraint constraints.txt --editable '.[dev]'
	@touch $@

run: setup ## plan the demo board, prove the plan, print its papers
	@$(PY) -m seamwright demo

fmt: setup ## format the code
	@$(VENV)/bin/ruff check --fix --quiet src tests bench; $(VENV)/bin/ruff format --quiet src tests bench

lint: setup ## format, lint, types, import directions, file lengths
	@$(VENV)/bin/ruff check src tests bench
	@$(VENV)/bin/ruff format --check --quiet src tests bench
	@$(VENV)/bin/mypy
	@$(VENV)/bin/lint-imports

test: lint ## everything
	@$(PY) -m pytest

.PHONY: help setup run fmt lint test
