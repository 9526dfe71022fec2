"""Whole check of a practice folder: its files, the plan, and whether the cards fit."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from kitdocs.cache import user_cache
from kitdocs.command.kept import Results
from kitdocs.command.printing import card_problems
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import PracticeError, Problem, in_order
from kitdocs.practice.reading.reader import read_practice


def checked(folder: Path, tell: Callable[[str], None]) -> tuple[Practice | None, tuple[Problem, ...]]:
    """Return a practice, None where its files have errors, and everything that is wrong with it, in order of place."""
    tell("reading the folder and working out the figures")
    practice = None
    try:
        results = Results(user_cache(), folder)
        practice = read_practice(folder)
        plan = results.plan(practice)
        tell("checking that the cards fit")
        return practice, in_order([*plan.problems, *card_problems(practice, plan, results.cache)])
    except PracticeError as error:
        return practice, error.problems
