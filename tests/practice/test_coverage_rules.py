"""Rules of coverage at their borders: what rides along in sets and add-ons, and what is carried twice."""

from __future__ import annotations

import pytest
from bad_inputs import VALID

from kitdocs.practice.problems import PracticeError, Problem
from kitdocs.practice.reading.reader import read_practice


def problems(rule: str, **changes: str) -> list[Problem]:
    """The problems of one rule in the valid practice with some values changed; ``__`` stands for a dot."""
    try:
        found = read_practice(VALID, {path.replace("__", "."): value for path, value in changes.items()}).problems
    except PracticeError as error:
        found = error.problems
    return [problem for problem in found if problem.rule == rule]


def told(rule: str, **changes: str) -> list[tuple[str, str]]:
    return [(problem.path, str(problem.message)) for problem in problems(rule, **changes)]


def test_an_instrument_that_no_procedure_of_the_add_on_needs_rides_along() -> None:
    assert told("rides-along", pouches__reposition__contents="[holder, remover, pusher]") == [
        ("pouches.reposition.contents[3]", "no procedure that uses 'reposition' needs 'pusher'")
    ]
    (problem,) = problems("rides-along", pouches__reposition__contents="[holder, remover, pusher]")
    assert problem.severity == "warning"


def test_an_instrument_that_one_user_of_the_add_on_needs_does_not_ride_along() -> None:
    also = {
        "pouches__reposition__contents": "[holder, remover, pusher]",
        "procedures__wire-change__add_ons": "{reposition: 5%}",
    }
    assert told("rides-along", **also) == []


def test_a_drawer_pouch_and_an_add_on_that_nobody_takes_have_no_riders() -> None:
    assert told("rides-along", **{"pouches__loose-band__contents": "[pusher, mirror]"}) == []
    assert told("rides-along", procedures__bracket__add_ons="{}") == []


def test_an_instrument_of_a_set_rides_along_unless_one_of_its_procedures_needs_it() -> None:
    contents = "[mirror, weingart, cutter, holder]"
    assert told("rides-along", sets__core__contents=contents, procedures__bracket__needs="{mirror: always}") == [
        ("sets.core.contents[4]", "no procedure that uses 'core' needs 'holder'"),
        ("pouches.reposition.contents[1]", "no procedure that uses 'reposition' needs 'holder'"),
        ("pouches.reposition.contents[2]", "no procedure that uses 'reposition' needs 'remover'"),
    ]
    assert "sets.core.contents[4]" not in dict(told("rides-along", sets__core__contents=contents))


@pytest.mark.parametrize("contents", ["[mirror, holder]", "[holder, mirror]"])
def test_what_the_set_holds_already_is_carried_twice_in_its_add_on(contents: str) -> None:
    found = told("carried-twice", pouches__reposition__contents=contents)
    place = 2 if contents == "[holder, mirror]" else 1  # counted from 1, as people do
    assert [path for path, _ in found] == [f"pouches.reposition.contents[{place}]"]
    assert "'mirror'" in found[0][1] and "'core'" in found[0][1]


def test_a_pouch_of_two_procedures_with_one_set_is_reported_once() -> None:
    twice = {
        "pouches__reposition__contents": "[holder, remover, mirror]",
        "procedures__wire-change__add_ons": "{reposition: always}",
    }
    assert [path for path, _ in told("carried-twice", **twice)] == ["pouches.reposition.contents[3]"]


def test_each_of_two_pouches_that_carry_what_their_set_holds_is_reported() -> None:
    two = {
        "pouches__reposition__contents": "[holder, remover, mirror]",
        "pouches__loose-band__kind": "add-on",
        "pouches__loose-band__contents": "[pusher, cutter]",
        "procedures__wire-change__add_ons": "{loose-band: always}",
    }
    assert sorted(path for path, _ in told("carried-twice", **two)) == [
        "pouches.loose-band.contents[2]",
        "pouches.reposition.contents[3]",
    ]


def test_the_cotton_plier_of_the_set_opens_the_drawer() -> None:
    used = {"practice__drawer_access": "cotton-plier", "sets__core__contents": "[mirror, weingart, cutter, holder]"}
    assert {path for path, _ in told("no-cotton-plier", **used)} == {"procedures.wire-change.set"}
    assert told("no-cotton-plier", **used, instruments__holder__drawing="cotton-plier") == []


@pytest.mark.parametrize(
    ("field", "value"),
    [("price", "3"), ("repair", "{uses_between: 9, days_away: 2 days}"), ("skips", "[washer]"), ("lubricate", "true")],
)
def test_a_single_use_item_has_nothing_that_only_what_comes_back_has(field: str, value: str) -> None:
    once = {"instruments__pusher__single_use": "{pack: 10}", f"instruments__pusher__{field}": value}
    assert [path for path, _ in told("single-use", **once)] == [f"instruments.pusher.{field}"]


def test_a_stage_is_unknown_to_maintenance_only_when_the_stages_could_be_read() -> None:
    task = {"room__maintenance": "{seal: {name: Seal, every: 1 month, stage: washr}}"}
    assert [path for path, _ in told("unknown-id", **task)] == ["room.maintenance.seal.stage"]
    assert told("unknown-id", **task, room__stages="none") == []


@pytest.mark.parametrize(("name", "rule"), [("Core 漢", "letters"), ("Core " * 40, "long-name")])
def test_a_name_in_one_language_is_looked_at_like_one_in_several(name: str, rule: str) -> None:
    assert [path for path, _ in told(rule, sets__core__name=name)] == ["sets.core.name"]
    assert [path for path, _ in told(rule, sets__core__name=f"{{en: {name}}}")] == ["sets.core.name.en"]


@pytest.mark.parametrize(("time", "warned"), [("06:30", 0), ("06:29", 1), ("19:30", 0), ("19:31", 1)])
def test_drawers_are_restocked_at_most_two_hours_around_the_day(time: str, warned: int) -> None:
    # Open from 08:30 to 17:30. Two hours: common practice, no source.
    assert len(told("restock", room__restock=f'["{time}"]')) == warned
