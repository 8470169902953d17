"""Long work in a process of its own: told how far it is, stopped at once, never in the way."""

from __future__ import annotations

import gc
import multiprocessing
import os
import signal
import threading
from collections import OrderedDict
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from enum import Enum
from inspect import signature
from multiprocessing.connection import Connection
from multiprocessing.synchronize import Event
from typing import Any

from seamwright.errors import Cancelled, Fault, SeamwrightError

_KEPT = 24
_PATIENCE_S = 1.5
_YIELDING = 15
"""How far the work stands back where processors are short; a machine at leisure gives it all."""
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
        result: what came of it, once done; before that, a first answer, where there is one.
        faults: why it was refused.
    """

    stage: Stage
    share: float = 0.0
    doing: str = "waiting"
    result: Any = None
    faults: tuple[Fault, ...] = ()


@dataclass(slots=True, kw_only=True)
class _Order:
    key: str
    function: Callable[..., Any]
    given: tuple[Any, ...]
    dropped: bool = False


class Bench:
    """Does one thing at a time in another process; asked for something new, it drops the old."""

    def __init__(self) -> None:
        self._works: OrderedDict[str, Work] = OrderedDict()
        self._wanted: _Order | None = None
        self._current: _Order | None = None
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
            function: called in the other process with ``given``, ``progress`` and ``cancelled``,
                and with ``early`` if it has an argument of that name: that takes a first answer.
        """
        with self._changed:
            known = self._works.get(key)
            if known is not None and known.stage in {Stage.RUNNING, Stage.DONE, Stage.REFUSED}:
                return known
            self._drop(self._wanted)
            if self._current is not None:
                self._stop.set()
                self._drop(self._current)
            self._wanted = _Order(key=key, function=function, given=given)
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
            if self._wanted is not None and self._wanted.key == key:
                self._drop(self._wanted)
                self._wanted = None
            elif self._current is not None and self._current.key == key:
                self._stop.set()
                self._drop(self._current)

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

    def _drop(self, order: _Order | None) -> None:
        """Nobody waits for this any more; whatever still comes of it is not heard."""
        if order is not None and not order.dropped:
            order.dropped = True
            self._set(order.key, Work(stage=Stage.STOPPED))

    def _loop(self) -> None:
        while True:
            with self._changed:
                while self._wanted is None and not self._closed:
                    self._changed.wait()
                if self._closed or self._wanted is None:
                    return
                order = self._current = self._wanted
                self._wanted = None
                self._stop.clear()
            self._carry_out(order)
            with self._changed:
                self._current = None

    def _carry_out(self, order: _Order) -> None:
        waited = 0.0
        try:
            pipe = self._worker()
            pipe.send((order.function, order.given))
            while True:
                if pipe.poll(0.05):
                    said, content = pipe.recv()
                    if said == "early":
                        self._early(order, content)
                        continue
                    if said != "progress":
                        self._heard(order, _ended(said, content))
                        return
                    self._heard_of(order, *content)
                waited = waited + 0.05 if self._stop.is_set() else 0.0
                if waited > _PATIENCE_S:
                    self._end_process()
                    self._heard(order, Work(stage=Stage.STOPPED))
                    return
        except (EOFError, OSError):
            self._end_process()
            self._heard(order, Work(stage=Stage.REFUSED, faults=(_FAULT_OF_OURS,)))

    def _heard(self, order: _Order, work: Work) -> None:
        with self._changed:
            if not order.dropped:
                self._set(order.key, work)

    def _heard_of(self, order: _Order, share: float, doing: str) -> None:
        """How far it is; a first answer stays."""
        with self._changed:
            if not order.dropped:
                known = self._works.get(order.key, Work(stage=Stage.RUNNING))
                self._set(order.key, replace(known, share=share, doing=doing))

    def _early(self, order: _Order, result: Any) -> None:
        """A first answer; a better one is to come."""
        with self._changed:
            if not order.dropped:
                known = self._works.get(order.key, Work(stage=Stage.RUNNING))
                self._set(order.key, replace(known, result=result))

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
    if hasattr(os, "nice"):
        os.nice(_YIELDING)  # the pen comes first
    # what is remembered from one edit to the next is large, and looking it over for rubbish again
    # and again would take longer than the edit
    gc.set_threshold(100_000, 20, 100)
    with suppress(EOFError, ConnectionError):
        while True:
            function, given = pipe.recv()
            pipe.send(_answer(function, given, pipe, stop))


def _answer(
    function: Callable[..., Any], given: tuple[Any, ...], pipe: Connection, stop: Event
) -> tuple[str, Any]:
    asked: dict[str, Any] = {
        "progress": lambda share, doing: pipe.send(("progress", (share, doing))),
        "cancelled": stop.is_set,
    }
    if "early" in signature(function).parameters:
        asked["early"] = lambda result: pipe.send(("early", result))
    try:
        result = function(*given, **asked)
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
