"""Execution of a function call: in this process, or by whatever stands in for it.

A `Run` calls a function that depends on nothing but its arguments, so that the call can be made in another process
(`Workers`), or not be made at all when its result is known.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import ParamSpec, Protocol, TypeVar

P = ParamSpec("P")
T = TypeVar("T")


class Run(Protocol):
    def __call__(self, function: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> T: ...


def run_here(function: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> T:
    """Call the function in this process."""
    return function(*args, **kwargs)
