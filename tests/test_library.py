"""From Python, everything that the command does, with paths as text or as `Path`."""

from __future__ import annotations

import doctest
import inspect
import re
from collections.abc import Callable
from pathlib import Path
from typing import get_type_hints

import pytest

import kitdocs
from kitdocs.cli import app
from kitdocs.shipped import shipped_folder

ROOT = Path(__file__).parent.parent

#: The public functions that do the work of each command. `preview` and `guide` are for a person at a screen.
DOES = {
    "check": ("read_practice", "make_plan"),
    "plan": ("read_practice", "make_plan", "make_reports"),
    "import": ("import_lists", "import_photos", "import_workbook"),
    "propose": ("read_undesigned", "propose_designs"),
    "colours": ("propose",),
    "group": ("publish_group",),
    "handbook": ("make_handbooks", "make_reports", "make_tables", "publish_handbook"),
    "printed": ("record_printing",),
    "changes": ("since_printed", "write_replacements"),
    "survey": ("write_survey",),
    "workbook": ("write_workbook",),
    "drawings": ("write_drawings",),
    "start": ("start",),
    "words": ("write_words",),
    "schema": ("schemas",),
}


def functions() -> dict[str, Callable[..., object]]:
    found = {name: getattr(kitdocs, name) for name in kitdocs.__all__}
    plain = {name: inspect.unwrap(thing) for name, thing in found.items() if callable(thing)}  # `propose` is cached
    return {name: thing for name, thing in plain.items() if inspect.isfunction(thing)}


def test_every_command_can_be_done_from_python() -> None:
    commands = {command.name or getattr(command.callback, "__name__", "") for command in app.registered_commands}
    assert commands - {"preview", "guide"} == set(DOES)
    assert {name for names in DOES.values() for name in names} <= set(functions())


@pytest.mark.parametrize("name", sorted(functions()))
def test_a_public_function_is_typed_and_says_what_it_does(name: str) -> None:
    function = functions()[name]
    hints = get_type_hints(function)
    assert set(inspect.signature(function).parameters) | {"return"} == set(hints)
    assert re.match(r"[A-Z]\w* ", inspect.getdoc(function) or ""), f"{name} says nothing"
    for parameter in ("folder", "to"):
        if parameter in hints:
            assert hints[parameter] in (str | Path, Path | str), f"{name} takes no text as {parameter}"


@pytest.mark.usefixtures("codes_alike")
def test_the_worked_example_of_the_package_is_right(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(shipped_folder("example_practice").parent)
    names = {name: getattr(kitdocs, name) for name in kitdocs.__all__}
    found = doctest.testmod(kitdocs, extraglobs=names)
    assert (found.failed, found.attempted) == (0, 5)


@pytest.mark.whole
def test_a_survey_and_the_drawings_are_written_to_a_path_or_a_text(tmp_path: Path) -> None:
    practice = kitdocs.read_practice(str(shipped_folder("example_practice")))
    blank = kitdocs.write_survey(str(tmp_path / "blank.pdf"))
    filled = kitdocs.write_survey(tmp_path / "filled.pdf", practice, language="es", paper="a4")
    assert (blank.language, blank.paper, filled.language, filled.paper) == ("en", "letter", "es", "a4")
    kitdocs.write_drawings(str(tmp_path / "drawings.pdf"))
    for name in ("blank", "filled", "drawings"):
        assert (tmp_path / f"{name}.pdf").read_bytes().startswith(b"%PDF")


def test_a_file_of_somebody_else_is_refused_before_anything_is_made(tmp_path: Path) -> None:
    (tmp_path / "taxes.pdf").write_bytes(b"%PDF-1.7 of somebody")
    for write in (kitdocs.write_survey, kitdocs.write_drawings):
        with pytest.raises(kitdocs.TargetError, match=r"taxes\.pdf"):
            write(str(tmp_path / "taxes.pdf"))
        with pytest.raises(kitdocs.TargetError):
            write(tmp_path / "sheets.txt")
    assert (tmp_path / "taxes.pdf").read_bytes() == b"%PDF-1.7 of somebody"


@pytest.mark.whole
def test_a_record_is_of_the_chosen_cards_and_of_a_day(started: Path) -> None:
    practice = kitdocs.read_practice(str(started))
    plan = kitdocs.make_plan(practice, days=5)
    handbooks = kitdocs.make_handbooks(practice, plan)
    made = (str(started), practice, plan, handbooks)
    for wrong in ({"cards": ["r/chair-99"]}, {"by": "x" * 500}, {"day": "yesterday"}):
        with pytest.raises(ValueError, match=r"chair-99|500 characters|yesterday"):
            kitdocs.record_printing(*made, **wrong)
    assert not (started / "printed").exists()
    first = kitdocs.record_printing(*made, cards=["r/chair-1"], by="lead", day="2026-11-25")
    assert first is not None
    assert {card.card for card in first.run.cards} == {"r/chair-1"}
    assert (first.run.by, first.run.date) == ("lead", "2026-11-25")
    again = kitdocs.read_practice(started)
    assert {card for card, _ in again.printed.posted} == {"r/chair-1"}
    assert kitdocs.record_printing(started, again, plan, handbooks, cards=["r/chair-1"], day="2026-11-25") is None
    with pytest.raises(ValueError, match="give a later day"):
        moved = kitdocs.read_practice(started, {"chairs.chair-1.name": "Window chair"})
        books = kitdocs.make_handbooks(moved, plan)
        kitdocs.record_printing(started, moved, plan, books, cards=["r/chair-1"], day="2026-11-01")


@pytest.mark.whole
def test_nothing_is_written_where_nothing_is_to_be_replaced(started: Path, tmp_path: Path) -> None:
    practice = kitdocs.read_practice(started)
    plan = kitdocs.make_plan(practice, days=5)
    handbooks = kitdocs.make_handbooks(practice, plan)
    kitdocs.record_printing(started, practice, plan, handbooks)
    changes = kitdocs.since_printed(kitdocs.read_practice(started), plan, handbooks)
    assert changes.current
    assert kitdocs.write_replacements(changes, handbooks, str(tmp_path / "replace.pdf")) == []
    assert not (tmp_path / "replace.pdf").exists()
