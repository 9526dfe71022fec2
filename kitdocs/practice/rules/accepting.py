"""Warnings that somebody has looked at and accepted, with a reason, in practice.yaml."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from kitdocs.practice.draft import SettingsDraft
from kitdocs.practice.locations import SourceLocations
from kitdocs.practice.message import Message, message
from kitdocs.practice.problems import Problem, near
from kitdocs.practice.settings import Settings


def accept(
    problems: Iterable[Problem], settings: Settings | SettingsDraft, places: SourceLocations, *, all_known: bool = False
) -> tuple[Problem, ...]:
    """The problems, with `accepted` set on each warning that practice.yaml accepts.

    An entry of practice.yaml that accepts nothing becomes a warning itself, but only with
    `all_known`: the last one who adds problems says so, because an entry may mean a later one.
    """
    known = tuple(problems)
    reasons = {(entry.warning, entry.at): entry.reason for entry in settings.accepted}
    result = tuple(
        replace(problem, accepted=reasons.get((problem.rule, problem.path)))
        if problem.severity == "warning"
        else problem
        for problem in known
    )
    return (*result, *_idle(known, settings, places)) if all_known else result


def _idle(
    problems: tuple[Problem, ...], settings: Settings | SettingsDraft, places: SourceLocations
) -> Iterator[Problem]:
    """A warning for each entry that accepts nothing."""
    warnings = {(p.rule, p.path) for p in problems if p.severity == "warning"}
    errors = {(p.rule, p.path) for p in problems if p.severity == "error"}
    for index, entry in enumerate(settings.accepted):
        key = (entry.warning, entry.at)
        if key in warnings:
            continue
        if key in errors:
            said = message("problems.accepts-nothing.error")
            remedy: Message | str = message("problems.accepts-nothing.correct")
        else:
            here = [rule for rule, path in warnings if path == entry.at]
            there = [path for rule, path in warnings if rule == entry.warning]
            said = message("problems.accepts-nothing.message", warning=entry.warning, path=entry.at)
            close = near(entry.warning, here) or near(entry.at, there)
            remedy = close or message("problems.accepts-nothing.remedy")
        yield Problem(
            rule="accepts-nothing",
            severity="warning",
            place=places.value("practice", "accepted", index),
            path=f"practice.accepted[{index + 1}]",
            message=said,
            remedy=remedy,
        )
