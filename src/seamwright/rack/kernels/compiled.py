"""Compiling a function of numbers and arrays, at its first call."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import Any, TypeVar, cast

F = TypeVar("F", bound=Callable[..., Any])


def compiled(function: F) -> F:
    """The function, compiled at its first call together with all others of its module.

    What was compiled is kept on disk where there is a place to write: beside the source, else in
    the user's cache. The compiler is loaded then only, since most commands never need it.
    """
    return cast(F, _Later(function))


class _Later:
    def __init__(self, function: Callable[..., Any]) -> None:
        self.function = function
        self.fast: Callable[..., Any] | None = None
        self.__doc__ = function.__doc__

    def __call__(self, *given: Any) -> Any:
        if self.fast is None:
            _compile(self.function.__globals__)
        assert self.fast is not None
        return self.fast(*given)


def _compile(room: dict[str, Any]) -> None:
    """Put the compiled functions of a module in the place of those that wait."""
    njit = import_module("numba").njit
    for name, later in list(room.items()):
        if isinstance(later, _Later) and later.function.__globals__ is room:
            try:
                later.fast = njit(cache=True, nogil=True)(later.function)
            except RuntimeError:
                # no place to keep it: compiled anew in every process
                later.fast = njit(nogil=True)(later.function)
            room[name] = later.fast
