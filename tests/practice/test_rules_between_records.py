"""The rules themselves: each can speak, each stays silent where it must, and the borders are where they are said."""

from __future__ import annotations

import json
import shutil
from itertools import combinations
from pathlib import Path
from typing import get_args

import pytest
from bad_inputs import VALID
from hypothesis import given
from hypothesis import strategies as st

from kitdocs.practice import quantities, values
from kitdocs.practice.codes import look_alike
from kitdocs.practice.kinds import Area, ChairMark
from kitdocs.practice.problems import PracticeError, Problem
from kitdocs.practice.reading.reader import read_practice


def _problems(changes: dict[str, str]) -> tuple[Problem, ...]:
    try:
        return read_practice(VALID, changes).problems
    except PracticeError as error:
        return error.problems


def _found(changes: dict[str, str]) -> set[tuple[str, str]]:
    return {(problem.rule, problem.path) for problem in _problems(changes)}


@pytest.mark.parametrize(
    ("one", "other"),
    [("O1", "01"), ("IL", "11"), ("S2", "5Z"), ("B8", "88"), ("DB", "BD"), ("CORE", "CROE"), ("LOW", "10W")],
)
def test_codes_that_hands_and_eyes_confuse_look_alike(one: str, other: str) -> None:
    assert look_alike(one, other)
    assert look_alike(other, one)


@pytest.mark.parametrize(("one", "other"), [("DB", "DC"), ("12", "21"), ("CORE", "CORES"), ("ABC", "CBA"), ("A", "V")])
def test_other_codes_do_not(one: str, other: str) -> None:
    assert not look_alike(one, other)


def test_the_four_areas_stand_in_the_order_of_the_guideline() -> None:
    # CDC, Guidelines for Infection Control in Dental Health-Care Settings 2003, MMWR 52(RR-17), part VI:
    # receiving, cleaning and decontamination; preparation and packaging; sterilization; storage.
    assert get_args(Area) == ("receiving", "packaging", "sterilization", "storage")
    stages = {"washer": "receiving", "packing": "packaging", "sterilizer": "sterilization", "shelf": "storage"}
    for id_, area in stages.items():
        for other in get_args(Area):
            out_of_order = {path for rule, path in _found({f"room.stages.{id_}.area": other}) if rule == "area-order"}
            assert bool(out_of_order) == (_goes_back({**stages, id_: other}))
            assert area in get_args(Area)


def _goes_back(stages: dict[str, str]) -> bool:
    numbers = [get_args(Area).index(area) for area in stages.values()]
    return numbers != sorted(numbers)


def test_an_area_without_a_stage_is_a_warning_of_its_own() -> None:
    assert _found({"room.stages.shelf.area": "sterilization"}) == {("no-area", "room.stages")}


def test_the_smallest_pouch_that_holds_what_is_missing_is_named() -> None:
    (problem,) = (
        p
        for p in _problems({"procedures.wire-change.needs.remover": "10%", "pouches.loose-band.contents": "[remover]"})
        if p.path == "procedures.wire-change.needs.pusher"
    )
    assert problem.rule == "not-covered"
    assert "no pouch holds it yet" in str(problem.remedy)
    (problem,) = (p for p in _problems({"procedures.bracket.needs.pusher": "10%", "chairs.teal-chair.drawer": "{}"})
                  if p.path == "procedures.bracket.needs.pusher")  # fmt: skip
    assert "the drawer pouch 'loose-band'" in str(problem.remedy)


def test_the_share_that_a_remedy_names_is_exact() -> None:
    """Rounded to 12% it would not mend anything."""
    seldom = {
        "procedures.bracket.needs": "{mirror: always, holder: 12.5%}",
        "procedures.bracket.add_ons.reposition": "12%",
    }
    (said,) = [problem for problem in _problems(seldom) if problem.rule == "taken-too-seldom"]
    assert "needed in 12.5%" in str(said.message) and "in only 12%" in str(said.message)
    assert str(said.remedy) == "write 'reposition: 12.5%' under 'add_ons:'"
    mended = {**seldom, "procedures.bracket.add_ons.reposition": "12.5%"}
    assert "taken-too-seldom" not in {rule for rule, _ in _found(mended)}


def test_add_ons_that_together_are_always_taken_bring_what_is_always_needed() -> None:
    """70 %, 20 % and 10 % added up one by one are a little less than 1 (IEEE 754 binary64)."""
    like = "{{name: {0}, code: {0}, kind: add-on, size: long, contents: [holder, remover]}}"
    changes = {
        "pouches.second": like.format("FE"),
        "pouches.third": like.format("GU"),
        "procedures.bracket.needs.holder": "always",
        "procedures.bracket.add_ons": "{reposition: 70%, second: 20%, third: 10%}",
    }
    assert "taken-too-seldom" not in {rule for rule, _ in _found(changes)}
    assert "taken-too-seldom" in {rule for rule, _ in _found({**changes, "procedures.bracket.add_ons.third": "9.9%"})}


@given(st.integers(1, 1000))
def test_a_share_is_written_as_it_is_read(thousandths: int) -> None:
    share = quantities.share(f"{thousandths / 10:g}%")
    assert quantities.share(values.share_text(share)) == share


def test_a_drawer_with_none_of_a_pouch_lacks_it() -> None:
    path = "procedures.wire-change.needs.pusher"
    assert ("drawer-lacks", path) in _found({"chairs.orange-chair.drawer.loose-band": "0"})
    assert _found({"chairs.orange-chair.drawer.loose-band": "1"}) == set()


def test_a_drawer_only_counts_at_the_chairs_where_the_procedure_is_done() -> None:
    changes = {"chairs.orange-chair.drawer": "{}", "procedures.wire-change.chairs": "[teal-chair]"}
    assert _found(changes) == set()


def test_a_size_that_a_machine_takes_no_number_of_is_told_with_the_first_that_uses_it() -> None:
    for capacity, size, user in (("{long: 12}", "small", "the set 'core'"), ("{small: 6}", "long", "the pouch '")):
        (problem,) = _problems({"room.stages.washer.capacity": capacity})
        assert (problem.rule, problem.path) == ("no-capacity", "room.stages.washer.capacity")
        assert f"'{size}'" in str(problem.message) and user in str(problem.message)


def test_what_the_machine_takes_no_pouch_of_meets_no_metal_in_it() -> None:
    """The pouch's steel is not beside the aluminium where the machine has no room for a pouch of its size."""
    others = {f"instruments.{i}.material": "plastic" for i in ("mirror", "weingart", "cutter")}
    found = {**others, "cassettes.small.material": "aluminium", "room.stages.washer.capacity": "{small: 6}"}
    assert {rule for rule, _ in _found(found)} == {"no-capacity"}


def test_sizes_are_not_unknown_where_the_file_that_has_them_could_not_be_read(tmp_path: Path) -> None:
    shutil.copytree(VALID, tmp_path, dirs_exist_ok=True)
    (tmp_path / "cassettes.yaml").write_text("small:\n\tname: Small cassette\n", "utf-8")
    with pytest.raises(PracticeError) as told:
        read_practice(tmp_path)
    assert [problem.path for problem in told.value.problems] == ["cassettes"]


def test_aluminium_by_itself_or_outside_the_cleaning_machine_is_fine() -> None:
    aluminium = {"cassettes.small.material": "aluminium"}
    assert ("aluminium", "cassettes.small.material") in _found(aluminium)
    assert ("aluminium", "cassettes.small.material") not in _found(
        {
            **aluminium,
            "room.stages.washer": "{name: Bench, area: receiving, kind: hand, per_cassette: 5 min, per_pouch: 5 min}",
        }
    )
    others = {f"instruments.{i}.material": "plastic" for i in read_practice(VALID).instruments}
    assert _found({**aluminium, **others}) == set()


def test_a_visit_as_long_as_the_longest_stretch_fits_and_a_minute_more_does_not() -> None:
    # The valid day: 08:30 to 12:00 and 13:00 to 17:30, so 210 and 270 minutes.
    assert _found({"procedures.bracket.minutes": "270 min"}) == set()
    assert _found({"procedures.bracket.minutes": "271 min"}) == {("no-chair", "procedures.bracket.minutes")}


def test_one_mistake_in_a_record_is_told_once() -> None:
    for changes in (
        {"sets.core.contents[2]": "wiengart"},
        {"sets.core.cassette": "smal"},
        {"procedures.bracket.set": "cor"},
        {"procedures.wire-change.needs": "{miror: always}"},
        {"pouches.loose-band.kind": "darwer"},
        {"pouches.reposition.contents": "[holder, remover, Holder X]"},
        {"chairs.teal-chair.drawer": "always"},
        {"instruments.mirror.length": "long"},
        {"room.stages.washer.capacity": "none"},
        {"room.stages.washer.kind": "robot"},
        {"practice.day": "long"},
        {"practice.languages": "[e]"},
    ):
        assert len(_problems(changes)) == 1, "\n\n".join(map(str, _problems(changes)))


def test_a_pause_is_not_held_against_a_day_that_is_none() -> None:
    day = "{opens: 08:00, closes: 08:00, pause: {start: 09:00, end: 10:00}}"
    assert {path for _, path in _found({"practice.day": day})} >= {"practice.day.closes"}
    assert "practice.day.pause" not in {path for _, path in _found({"practice.day": day})}


def test_what_could_lie_in_drawers_that_could_not_be_read_is_neither_missing_nor_unused() -> None:
    drawers = {f"chairs.{chair}.drawer": "always" for chair in ("teal-chair", "orange-chair")}
    assert {problem.path for problem in _problems(drawers)} == set(drawers)


@pytest.mark.parametrize("pause", ["{start: 08:00, end: 09:00}", "{start: 16:00, end: 17:00}"])
def test_a_pause_may_begin_or_end_the_day(pause: str) -> None:
    day = f"{{opens: 08:00, closes: 17:00, pause: {pause}}}"
    assert _found({"practice.day": day}) == set()
    earlier = day.replace("08:00, end", "07:59, end").replace("end: 17:00", "end: 17:01")
    assert {path for _, path in _found({"practice.day": earlier})} == {"practice.day.pause"}


def test_two_mistakes_in_different_places_are_both_told() -> None:
    mistakes = {
        "sets.core.contents[2]": "wiengart",
        "pouches.loose-band.code": "CORE",
        "procedures.bracket.minutes": "9 h",
        "chairs.orange-chair.mark": "circle",
        "room.stages.packing.area": "storage",
        "instruments.holder.length": "12",
        "cassettes.small.inside.width": "wide",
        "stock.mirror.on_hand": "-1",
        "practice.card": "4x6",
    }
    alone = {path: _found({path: mistake}) for path, mistake in mistakes.items()}
    for one, other in combinations(mistakes, 2):
        together = _found({one: mistakes[one], other: mistakes[other]})
        assert together >= alone[one] | alone[other], (one, other)


def test_languages_and_pages_are_only_judged_when_the_languages_could_be_read() -> None:
    changes = {"practice.languages": "[en, es]", "instruments.mirror.name": "{en: Mirror}"}
    assert _found(changes) == {("missing-language", "instruments.mirror.name")}
    assert {rule for rule, _ in _found({**changes, "practice.languages": "[en, spanish]"})} == {"value"}


def test_a_name_written_once_holds_for_every_language() -> None:
    assert _found({"practice.languages": "[en, es]"}) == set()


def _chairs(*looks: tuple[str, str]) -> dict[str, dict[str, str]]:
    return {f"c{n}": {"name": f"C {n}", "colour": colour, "mark": mark} for n, (colour, mark) in enumerate(looks)}


def test_colours_and_marks_come_again_only_where_the_marks_run_out(tmp_path: Path) -> None:
    marks, colours = get_args(ChairMark), ("teal", "pink", "navy", "lime", "black", "brown", "sky")
    pairs = [(colours[n % 7], marks[(n + n // 7) % 12]) for n in range(14)]
    assert len(set(pairs)) == 14

    def rules(looks: list[tuple[str, str]]) -> set[tuple[str, str]]:
        folder = shutil.copytree(VALID, tmp_path / "x", dirs_exist_ok=True)
        (folder / "chairs.yaml").write_text(json.dumps(_chairs(*looks)), encoding="utf-8")
        try:
            return {(p.rule, p.path) for p in read_practice(folder).problems if p.rule.startswith("same-")}
        except PracticeError as error:
            return {(p.rule, p.path) for p in error.problems if p.rule.startswith("same-")}

    assert rules(pairs) == set()
    assert rules([*pairs[:-1], pairs[0]]) == {("same-look", "chairs.c13.mark")}
    assert ("same-colour", "chairs.c7.colour") in rules(pairs[:12]), "twelve chairs have a colour each"
    assert rules([*pairs[:7], ("violet", marks[0])]) == {("same-mark", "chairs.c7.mark")}


def test_an_inventory_of_which_much_is_in_no_set_is_one_warning_that_can_be_accepted(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(VALID, tmp_path / "ours"))
    instruments, settings = folder / "instruments.yaml", folder / "practice.yaml"
    spare = "\n{id}:\n  name: Probe {id}\n  drawing: explorer\n  length: 160 mm\n  width: 9 mm\n"
    text = instruments.read_text("utf-8")

    def unused(count: int) -> list[Problem]:
        instruments.write_text(text + "".join(spare.format(id=f"probe-{n}") for n in range(count)), "utf-8")
        return [problem for problem in read_practice(folder).problems if problem.rule == "unused"]

    assert [problem.path for problem in unused(3)] == [f"instruments.probe-{n}" for n in range(3)]
    (many,) = unused(5)
    assert (many.path, many.accepted) == ("instruments", None)
    assert "5 instruments are in no set or pouch" in str(many.message) and "probe-0, probe-1" in str(many.message)
    one = "\naccepted:\n  - {warning: unused, at: instruments.probe-0, reason: For the doctor}\n"
    settings.write_text(settings.read_text("utf-8") + one, "utf-8")
    assert [(p.path, bool(p.accepted)) for p in unused(5)] == [("instruments.probe-0", True), ("instruments", False)]
    settings.write_text(settings.read_text("utf-8").replace("instruments.probe-0", "instruments"), "utf-8")
    assert [bool(problem.accepted) for problem in unused(5)] == [True]
