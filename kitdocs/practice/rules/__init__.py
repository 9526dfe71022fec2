"""Rules between the records of a practice, one function each."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from kitdocs.practice.model import Practice
from kitdocs.practice.problems import Problem

Rule = Callable[[Practice], Iterable[Problem]]

RULES: tuple[Rule, ...] = ()
