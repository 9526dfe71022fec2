"""Rules between the records of a practice, one function each.

A rule is given the whole records of the practice (`Draft`) with the problems found before it, and yields what it finds
itself. Rules about something *missing* ask `Draft.is_whole` first, so that one mistake is reported once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from inspect import isfunction

from kitdocs.practice.draft import Draft
from kitdocs.practice.problems import Problem
from kitdocs.practice.rules import (
    book,
    coverage,
    identity,
    instruments,
    monitoring,
    people,
    places,
    printing,
    references,
    room,
    said_otherwise,
    schedule,
    starter,
    use,
)

Rule = Callable[[Draft], Iterable[Problem]]

_MODULES = (
    references,
    identity,
    coverage,
    room,
    places,
    people,
    instruments,
    monitoring,
    schedule,
    book,
    printing,
    use,
    said_otherwise,
    starter,
)

#: Every public function of these modules, in the order in which they stand there: unknown names come first, because the
#: others see what was found before.
RULES: tuple[Rule, ...] = tuple(
    rule
    for module in _MODULES
    for name, rule in vars(module).items()
    if isfunction(rule) and rule.__module__ == module.__name__ and not name.startswith("_")
)
