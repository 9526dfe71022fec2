"""What the folder says of instruments that open, skip, are oiled, or go into the body, as a practice answers it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from invented_practice import ROOM, practice

from kitdocs.practice.values import Period, period


def test_a_hinged_instrument_lies_wider_than_closed_and_a_straight_one_does_not() -> None:
    usual = practice(settings={"opening": {}})
    assert usual.lying_width("weingart") == 60  # 50 mm closed + 10 mm for a plier
    assert usual.lying_width("cutter") == 58
    assert usual.lying_width("mirror") == 22
    stated = practice(settings={"opening": {"pliers": "4 mm"}}, instruments={"cutter": _cutter(open_width="70 mm")})
    assert stated.lying_width("weingart") == 54
    assert stated.lying_width("cutter") == 70


def test_a_pack_is_implant_related_by_itself_or_by_what_is_in_it() -> None:
    assert not practice().is_implant_related("core")
    assert practice(instruments={"cutter": _cutter(implant_related=True)}).is_implant_related("core")


def test_a_pack_skips_a_stage_that_all_in_it_skip_and_passes_a_listed_one_that_any_in_it_names() -> None:
    bath = {**ROOM["stages"]["sterilize"], "name": "Ultrasonic bath", "area": "receiving", "only_listed": True}
    room = {"stages": {"bath": bath, "wash": {**bath, "only_listed": False}}}

    def passing(**cutter: Any) -> list[tuple[bool, bool]]:
        held = practice(room=room, instruments={"cutter": _cutter(**cutter)})
        held = replace(held, pouches={"bends": held.pouches["bends"].model_copy(update={"contents": ("cutter",)})})
        return [(held.passes(pack, "bath"), held.passes(pack, "wash")) for pack in ("core", "bends")]

    assert passing() == [(False, True), (False, True)]
    assert passing(skips=["wash"]) == [(False, True), (False, False)]
    assert passing(also=["bath"]) == [(True, True), (True, True)]


def _cutter(**more: Any) -> dict[str, Any]:
    return {"name": "Ligature cutter", "drawing": "ligature-cutter", "length": "125 mm", "width": "48 mm", **more}


@pytest.mark.parametrize(
    ("text", "number", "unit"), [("1 day", 1, "day"), ("2 weeks", 2, "week"), ("3  years", 3, "year")]
)
def test_a_period_is_a_number_and_a_unit_of_the_calendar(text: str, number: int, unit: Any) -> None:
    assert period(text) == Period(number, unit)


@pytest.mark.parametrize("text", ["", "biweekly", "0 days", "1.5 years", "3", 3, "-1 day"])
def test_what_is_no_period_is_refused_with_an_example(text: object) -> None:
    with pytest.raises(ValueError, match="'6 months'"):
        period(text)


def test_a_period_is_written_as_people_read_it() -> None:
    assert [str(period(text)) for text in ("1 day", "6 months")] == ["1 day", "6 months"]
