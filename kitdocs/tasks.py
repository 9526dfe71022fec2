"""Independent pieces of work: done one after another here, or side by side on whatever runs them elsewhere."""

from __future__ import annotations

import copyreg
from collections.abc import Callable, Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import Any, Protocol, TypeVar

Shared = TypeVar("Shared")
Given = TypeVar("Given")
Made = TypeVar("Made")


class Each(Protocol):
    """Does the same work on each of several things, and gives what comes of each, in their order.

    `work` is a function of a module, which knows only what it is given: what is `shared` by all, and one thing. What it
    raises is raised here.
    """

    def __call__(
        self, work: Callable[[Shared, Given], Made], shared: Shared, given: Sequence[Given]
    ) -> Iterator[Made]: ...


def one_by_one(work: Callable[[Shared, Given], Made], shared: Shared, given: Sequence[Given]) -> Iterator[Made]:
    """Do the work here, each piece when what comes of it is asked for."""
    return (work(shared, one) for one in given)


def _frozen(mapping: Mapping[Any, Any]) -> MappingProxyType[Any, Any]:
    return MappingProxyType(dict(mapping))


def _written(mapping: MappingProxyType[Any, Any]) -> tuple[Any, ...]:
    return _frozen, (dict(mapping),)


# A practice is made of mappings that nobody can change, of which pickle by itself knows nothing.
copyreg.pickle(MappingProxyType, _written)
