"""Long work in a process of its own: told how far it is, stopped at once, never in the way."""

from __future__ import annotations

import multiprocessing
import signal
import threading
from collections import OrderedDict
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from enum import Enum
from multiprocessing.connection import Connection
from multiprocessing.synchronize import Event
from typing import Any

from seamwright.errors import Cancelled, Fault, SeamwrightError

_KEPT = 24
_PATIENCE_S = 1.5
_FAULT_OF_OURS = Fault("A900", "the program", "stumbled over this", "please report it to us")


class Stage(Enum):
    """How far a piece of work is."""

    RUNNING = "running"
    DONE = "done"
    REFUSED = "refused"
    STOPPED = "stopped"


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """A piece of work as it stands.

    Attributes:
        stage: how far.
        share: 0 to 1.
        doing: what is being done.
        result: what came of it, once done.
        faults: why it was refused.
    """

    stage: Stage
    share: float = 0.0
    doing: str = "waiting"
    result: Any = None
    faults: tuple[Fault, ...] = ()


class Bench:
    """Does one thing at a time in another process; asked for something new, it drops the old."""

    def __init__(self) -> None:
        self._works: OrderedDict[str, Work] = OrderedDict()
        self._wanted: tuple[str, Callable[..., Any], tuple[Any, ...]] | None = None
        self._current = ""
        self._context = multiprocessing.get_context("spawn")
        self._stop: Event = self._context.Event()
        self._changed = threading.Condition()
        self._closed = False
        self._thread: threading.Thread | None = None
        self._process: Any = None
        self._pipe: Connection | None = None

    def start(self, key: str, function: Callable[..., Any], *given: Any) -> Work:
        """Begin, unless it is done or running; whatever else was running here is stopped.

        Args:
            key: names the work; equal keys must mean equal results.
            function: called in the other process with ``given``, ``progress`` and ``cancelled``.
        """
        with self._changed:
            known = self._works.get(key)
            if known is not None and known.stage in {Stage.RUNNING, Stage.DONE, Stage.REFUSED}:
                return known
            if self._wanted is not None:
                self._set(self._wanted[0], Work(stage=Stage.STOPPED))
            if self._current:
                self._stop.set()
            self._wanted = (key, function, given)
            work = self._set(key, Work(stage=Stage.RUNNING))
            if self._thread is None:
                self._thread = threading.Thread(target=self._loop, daemon=True)
                self._thread.start()
            self._changed.notify_all()
            return work

    def state(self, key: str) -> Work | None:
        """How a piece of work stands; None where it was never begun, or is forgotten."""
        with self._changed:
            return self._works.get(key)

    def cancel(self, key: str) -> None:
        """Stop a piece of work, if it is not done yet."""
        with self._changed:
            if self._wanted is not None and self._wanted[0] == key:
                self._wanted = None
                self._set(key, Work(stage=Stage.STOPPED))
            elif self._current == key:
                self._stop.set()
                self._set(key, Work(stage=Stage.STOPPED))

    def close(self) -> None:
        """Stop everything."""
        with self._changed:
            self._closed = True
            self._stop.set()
            self._changed.notify_all()
        if self._thread is not None:
            self._thread.join(timeout=5.0)
        self._end_process()

    def _set(self, key: str, work: Work) -> Work:
        self._works[key] = work
        self._works.move_to_end(key)
        while len(self._works) > _KEPT:
            self._works.popitem(last=False)
        return work

    def _loop(self) -> None:
        while True:
            with self._changed:
                while self._wanted is None and not self._closed:
                    self._changed.wait()
                if self._closed or self._wanted is None:
                    return
                key, function, given = self._wanted
                self._wanted, self._current = None, key
                self._stop.clear()
            self._carry_out(key, function, given)
            with self._changed:
                self._current = ""

    def _carry_out(self, key: str, function: Callable[..., Any], given: tuple[Any, ...]) -> None:
        pipe = self._worker()
        pipe.send((function, given))
        waited = 0.0
        while True:
            try:
                if not pipe.poll(0.05):
                    waited = waited + 0.05 if self._stop.is_set() else 0.0
                    if waited > _PATIENCE_S:
                        self._end_process()
                        self._close_work(key, Work(stage=Stage.STOPPED))
                        return
                    continue
                said, content = pipe.recv()
            except (EOFError, OSError):
                self._end_process()
                self._close_work(key, Work(stage=Stage.REFUSED, faults=(_FAULT_OF_OURS,)))
                return
            if said == "progress":
                self._told(key, *content)
                continue
            self._close_work(key, _ended(said, content))
            return

    def _told(self, key: str, share: float, doing: str) -> None:
        with self._changed:
            work = self._works.get(key)
            if work is not None and work.stage is Stage.RUNNING:
                self._works[key] = replace(work, share=share, doing=doing)

    def _close_work(self, key: str, work: Work) -> None:
        with self._changed:
            self._set(key, work)

    def _worker(self) -> Connection:
        if self._process is None or not self._process.is_alive() or self._pipe is None:
            ours, theirs = self._context.Pipe()
            self._process = self._context.Process(
                target=_serve, args=(theirs, self._stop), daemon=True
            )
            self._process.start()
            theirs.close()
            self._pipe = ours
        return self._pipe

    def _end_process(self) -> None:
        if self._process is not None:
            self._process.terminate()
            self._process.join(timeout=2.0)
            if self._pipe is not None:
                self._pipe.close()
        self._process = self._pipe = None


def _ended(said: str, content: Any) -> Work:
    if said == "done":
        return Work(stage=Stage.DONE, share=1.0, doing="done", result=content)
    if said == "refused":
        return Work(stage=Stage.REFUSED, faults=content)
    return Work(stage=Stage.STOPPED)


def _serve(pipe: Connection, stop: Event) -> None:
    """The other process: one piece of work after another, until nobody is there to ask for it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    with suppress(EOFError, ConnectionError):
        while True:
            function, given = pipe.recv()
            pipe.send(_answer(function, given, pipe, stop))


def _answer(
    function: Callable[..., Any], given: tuple[Any, ...], pipe: Connection, stop: Event
) -> tuple[str, Any]:
    try:
        result = function(
            *given,
            progress=lambda share, doing: pipe.send(("progress", (share, doing))),
            cancelled=stop.is_set,
        )
    except Cancelled:
        return ("stopped", None)
    except SeamwrightError as error:
        return ("refused", error.faults)
    except ConnectionError:
        raise
    except Exception as error:
        fault = replace(_FAULT_OF_OURS, message=f"stumbled over this ({error!r:.200})")
        return ("refused", (fault,))
    return ("done", result)
