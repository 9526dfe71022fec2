"""Accepted warnings: by rule and path, with a reason, and never an error."""

from __future__ import annotations

from dataclasses import replace

from bad_inputs import VALID

from kitdocs.practice.locations import SourceLocation
from kitdocs.practice.problems import Problem
from kitdocs.practice.reading.reader import read_practice
from kitdocs.practice.rules.accepting import accept
from kitdocs.practice.settings import Accepted, Settings
from kitdocs.practice.values import Text

PRACTICE = read_practice(VALID)
RIDES = Problem(
    rule="rides-along",
    severity="warning",
    place=SourceLocation(file="sets.yaml", line=6),
    path="sets.core.contents[3]",
    message="rides along",
)


def _settings(*entries: Accepted) -> Settings:
    return PRACTICE.settings.model_copy(update={"accepted": entries})


def _entry(warning: str, at: str) -> Accepted:
    return Accepted(warning=warning, at=at, reason=Text(plain="looked at it"))


def test_a_warning_is_accepted_by_rule_and_path() -> None:
    settings = _settings(_entry("rides-along", "sets.core.contents[3]"))
    (problem,) = accept([RIDES], settings, PRACTICE.places, all_known=True)
    assert problem == replace(RIDES, accepted=Text(plain="looked at it"))


def test_an_entry_for_another_place_or_rule_accepts_nothing() -> None:
    for entry in (_entry("rides-along", "sets.core.contents[2]"), _entry("unused", "sets.core.contents[3]")):
        kept, idle = accept([RIDES], _settings(entry), PRACTICE.places, all_known=True)
        assert kept == RIDES
        assert (idle.rule, idle.severity, idle.path) == ("accepts-nothing", "warning", "practice.accepted[1]")
        assert "did you mean" in str(idle.remedy) or "choose from" in str(idle.remedy)


def test_idle_entries_are_told_only_when_every_problem_is_known() -> None:
    settings = _settings(_entry("colours-alike", "chairs.teal-chair.colour"))
    assert accept([RIDES], settings, PRACTICE.places) == (RIDES,)
    assert len(accept([RIDES], settings, PRACTICE.places, all_known=True)) == 2


def test_an_error_cannot_be_accepted() -> None:
    error = replace(RIDES, severity="error")
    kept, idle = accept([error], _settings(_entry(error.rule, error.path)), PRACTICE.places, all_known=True)
    assert kept.accepted is None
    assert "errors cannot be accepted" in str(idle.message)


def test_accepting_twice_changes_nothing() -> None:
    settings = _settings(_entry("rides-along", "sets.core.contents[3]"))
    once = accept([RIDES], settings, PRACTICE.places)
    assert accept(once, settings, PRACTICE.places) == once
