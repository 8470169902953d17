"""How every command ends: exit codes, and what is said when something is refused."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable, Sequence
from enum import IntEnum
from typing import Any

import click

from seamwright.app import Document, UnprovenError, error_document
from seamwright.errors import Cancelled, Fault, PlanError, SeamwrightError


class ExitCode(IntEnum):
    """What the program says to the shell."""

    GOOD = 0
    """Done."""
    NO_PLAN = 1
    """No plan is possible, or the one found did not make the drawing and was thrown away."""
    BAD_INPUT = 2
    """Something given cannot be used: a design, a shop file, a place to write to, an option."""
    CANCELLED = 130
    """Stopped with Ctrl-C."""
    PIPE_CLOSED = 141
    """Whoever read the output stopped reading."""


class _NobodyReadsError(Exception):
    """Whoever read the output stopped reading."""


class Front(click.Group):
    """A group of commands that ends in words and an exit code, whatever happens."""

    def main(
        self,
        args: Sequence[str] | None = None,
        prog_name: str | None = None,
        complete_var: str | None = None,
        standalone_mode: bool = True,
        **extra: Any,
    ) -> Any:
        """Run a command line; leaves by SystemExit, as click does."""
        given = list(sys.argv[1:] if args is None else args)

        def run() -> Any:
            return super(Front, self).main(
                given, prog_name, complete_var, standalone_mode=False, **extra
            )

        if not standalone_mode:
            return run()
        _speak_any_language()
        try:
            code = _ended(run, as_json="--json" in given)
        except (BrokenPipeError, _NobodyReadsError):
            _stop_writing()
            code = ExitCode.PIPE_CLOSED
        except OSError as error:
            _stop_writing()
            _complain([Fault("A118", "the output", f"cannot be written ({error.strerror})")])
            code = ExitCode.BAD_INPUT
        sys.exit(int(code))

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command; click would call a closed pipe a success."""
        try:
            return super().invoke(ctx)
        except BrokenPipeError as error:
            raise _NobodyReadsError from error


def _ended(run: Callable[[], Any], *, as_json: bool) -> int:
    """Run a command to its end; whatever it refuses is said, and becomes an exit code."""
    try:
        code = run()
        _flush()
    except click.ClickException as error:
        return _refused_usage(error, as_json=as_json)
    except SeamwrightError as error:
        return _refused(error, as_json=as_json)
    except (Cancelled, KeyboardInterrupt, click.Abort):
        return _cancelled(as_json=as_json)
    return code if isinstance(code, int) else ExitCode.GOOD


def show(document: Document) -> None:
    """Print a document for programs."""
    click.echo(json.dumps(document, ensure_ascii=False, indent=2, allow_nan=False))


def _refused(error: SeamwrightError, *, as_json: bool) -> ExitCode:
    file = next(iter(getattr(error, "__notes__", ())), None)
    kind, code = _kind(error)
    if as_json:
        show(error_document(kind, error.faults, file=file))
        _flush()
        return code
    heads = {
        "no plan": "No plan is possible:",
        "not proven": "The plan that was found does not hold and is not shown:",
        "bad input": f"{file} cannot be used:" if file else "",
    }
    _complain(error.faults, head=heads[kind])
    return code


def _kind(error: SeamwrightError) -> tuple[str, ExitCode]:
    if isinstance(error, UnprovenError):
        return "not proven", ExitCode.NO_PLAN
    if isinstance(error, PlanError):
        return "no plan", ExitCode.NO_PLAN
    return "bad input", ExitCode.BAD_INPUT


def _refused_usage(error: click.ClickException, *, as_json: bool) -> int:
    if as_json:
        fault = Fault("A201", "the command", error.format_message())
        show(error_document("bad input", [fault], file=None))
        _flush()
    else:
        error.show()
    return ExitCode.BAD_INPUT


def _cancelled(*, as_json: bool) -> ExitCode:
    if as_json:
        show(error_document("cancelled", (), file=None))
        _flush()
    else:
        click.echo("Stopped.", err=True)
    return ExitCode.CANCELLED


def _complain(faults: Sequence[Fault], *, head: str = "") -> None:
    """Faults on standard error; there is nowhere to complain to where that is closed as well."""
    try:
        if head:
            click.echo(head, err=True)
        for fault in faults:
            click.echo(f"  {fault}" if head else str(fault), err=True)
    except OSError:
        return


def _speak_any_language() -> None:
    """A terminal that has no ″ gets a question mark, not a stack of calls."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")


def _flush() -> None:
    if sys.stdout is not None:
        sys.stdout.flush()


def _stop_writing() -> None:
    """Nothing more goes to a standard output that cannot take it, not even at the very end."""
    try:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
    except (OSError, ValueError, AttributeError):
        return
