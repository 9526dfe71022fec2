"""Labels and marks in the print record, and what to take off and stick on (common practice, no source)."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitdocs.document.card import Handbook
from kitdocs.document.label_sheet import Label, LabelGrid, LabelKind, LabelSheet
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.practice.printed import PrintRecord, PrintRun
from kitdocs.practice.recording import run_text
from kitdocs.revisions.label_exchange import (
    LabelExchange,
    label_exchanges,
    printed_labels,
    sheets_of_exchanged,
)
from kitdocs.revisions.record import new_run
from kitdocs.revisions.replacement_list import replacement_list
from kitdocs.revisions.replacements import since_printed

GRID = LabelGrid(columns=2, rows=4, width_mm=90, height_mm=60, left_mm=5, top_mm=5, across_mm=95, down_mm=65)


def sheet(kind: LabelKind, *labels: Label, wanted: int = 1) -> LabelSheet:
    """A sheet that repeats its labels until it is full."""
    wanted_of = {label.id: wanted for label in labels}
    return LabelSheet(kind=kind, title=kind, note="", grid=GRID, labels=labels * 4, wanted=wanted_of)


TEAL = Label(id="chair-1", word="Teal", name="Chair 1", colour="#00766c")
PINK = Label(id="chair-2", word="Pink", name="Chair 2", colour="#ee8fb4")
CORE = Label(id="core", word="CO", name="Core set")


@pytest.fixture(scope="module")
def book(example_handbooks: tuple[Handbook, ...]) -> Handbook:
    return replace(
        example_handbooks[0],
        labels=(sheet("chair-tag", TEAL, PINK, wanted=2), sheet("end-label", CORE, wanted=5)),
    )


def recorded(book: Handbook) -> PrintRecord:
    return PrintRecord(runs={"2026-11-20-44444": PrintRun(date="2026-11-20", labels=printed_labels(book))})


def due(before: Handbook, *sheets: LabelSheet) -> list[LabelExchange]:
    return list(label_exchanges(recorded(before), replace(before, labels=sheets)))


def test_what_is_as_recorded_is_left_and_before_the_first_record_nothing_is_asked(book):
    assert due(book, *book.labels) == []
    assert label_exchanges(PrintRecord(), book) == ()
    assert label_exchanges(recorded(replace(book, language="es")), book) == ()


@pytest.mark.parametrize("seen", [{"name": "Window chair"}, {"colour": "#123456"}, {"note": "x"}, {"lines": ("Load",)}])
def test_a_tag_that_looks_different_is_taken_off_and_put_on_as_often_as_there_are(book, seen):
    new = replace(TEAL, **seen)
    (tag,) = due(book, sheet("chair-tag", new, PINK, wanted=2), book.labels[1])
    assert (tag.kind, tag.label, tag.action, tag.taken, tag.put) == ("chair-tag", "chair-1", "replace", 2, 2)
    noted = f" · {new.note}" if new.note else ""
    assert (tag.old, tag.new) == ("Teal · Chair 1", f"Teal · {new.name}{noted}")


def test_a_label_that_comes_and_one_that_goes(book):
    new = Label(id="chair-3", word="Navy", name="Chair 3")
    added, gone = due(book, sheet("chair-tag", PINK, new, wanted=2), book.labels[1])
    assert (added.action, added.old, added.new, added.taken, added.put) == ("add", "", "Navy · Chair 3", 0, 2)
    assert (gone.action, gone.old, gone.new, gone.taken, gone.put) == ("take-out", "Teal · Chair 1", "", 2, 0)


def test_of_what_stays_where_it_is_the_number_counts_and_of_what_every_pack_gets_it_does_not(book):
    more = sheet("chair-tag", TEAL, PINK, wanted=3), sheet("end-label", CORE, wanted=9)
    assert [(each.label, each.action, each.taken, each.put) for each in due(book, *more)] == [
        ("chair-1", "add", 0, 1),
        ("chair-2", "add", 0, 1),
    ]
    fewer = due(book, sheet("chair-tag", TEAL, PINK, wanted=1), book.labels[1])
    assert [(each.action, each.old, each.taken, each.put) for each in fewer] == [
        ("take-out", "Teal · Chair 1", 1, 0),
        ("take-out", "Pink · Chair 2", 1, 0),
    ]


def test_labels_of_packs_that_are_left_are_thrown_away_however_many(book):
    (label,) = due(book, book.labels[0], sheet("end-label", replace(CORE, word="CR"), wanted=5))
    assert (label.action, label.taken, label.put) == ("replace", 0, 5)
    (group,) = replacement_list(book, [], [], labels=[label])
    assert group.lines[0].taken is not None
    assert group.lines[0].taken.more == "End labels · all that are left"
    assert group.lines[0].put is not None
    assert (group.lines[0].put.title, group.lines[0].put.more) == ("CR · Core set", "End labels · 5 labels")


def test_each_label_is_listed_at_the_place_where_it_is_stuck_on(book):
    """A tag at the drawer, a mark where packs are made, a label of a shelf there; one list, no lump of labels."""
    shelf = Label(id="A2 core", word="A2", name="Core set", note="CO, 5 packs")
    before = replace(book, labels=(sheet("chair-tag", TEAL), sheet("cassette-mark", CORE), sheet("place-label", shelf)))
    changed = due(
        before,
        sheet("chair-tag", replace(TEAL, colour="#123456")),
        sheet("cassette-mark", replace(CORE, word="CR")),
        sheet("place-label", replace(shelf, note="CO, 6 packs")),
    )
    bench, storage, drawer = replacement_list(book, [], [], labels=changed)
    assert (bench.place, storage.place) == ("At the packing table", "At the storage shelves")
    assert drawer.place == "In the drawers at the chairs"
    (tag,) = drawer.lines
    assert tag.taken and tag.put and tag.taken.title == tag.put.title == "Teal · Chair 1"
    assert tag.changes[0] == "Reads the same, looks different."
    assert "one for the place where its pouches are gathered" in tag.changes[1]
    (place,) = storage.lines
    assert place.taken and place.put
    assert (place.taken.title, place.put.title) == (
        "A2 · Core set · CO, 5 packs",
        "A2 · Core set · CO, 6 packs",
    )
    assert place.changes == bench.lines[0].changes == ()


def test_only_what_is_put_on_is_printed_and_no_sheet_is_filled_up(book):
    now = replace(book, labels=(sheet("chair-tag", replace(TEAL, name="Window chair"), PINK, wanted=2), book.labels[1]))
    (printed,) = sheets_of_exchanged(now, label_exchanges(recorded(book), now))
    assert printed.kind == "chair-tag"
    assert [label.name for label in printed.labels] == ["Window chair"] * 2


def test_a_print_run_records_the_labels_of_its_languages_once(
    example: Practice, example_plan: Plan, example_handbooks: tuple[Handbook, ...]
):
    new = new_run(example, example_plan, example_handbooks, day="2026-11-25", language="es")
    assert new is not None
    assert {card.language for card in new.run.cards} == {label.language for label in new.run.labels} == {"es"}
    assert 'kind: chair-tag, label: "chair-1", language: es' in run_text(new.run)
    known = replace(example, printed=PrintRecord(runs={new.name: new.run}))
    assert new_run(known, example_plan, example_handbooks, day="2026-11-26", language="es") is None
    assert new_run(known, example_plan, example_handbooks, day="2026-11-26", chosen=("labels",), language="es") is None
    other = new_run(known, example_plan, example_handbooks, day="2026-11-26", chosen=("labels",))
    assert other is not None
    assert (other.run.cards, {label.language for label in other.run.labels}) == ((), {"en"})
    assert since_printed(known, example_plan, example_handbooks, "es").current
    assert not since_printed(known, example_plan, example_handbooks).current


def test_every_label_of_the_example_is_known_by_an_id_of_its_own(example_handbooks: tuple[Handbook, ...]):
    for handbook in example_handbooks:
        keys = [(label.kind, label.label) for label in printed_labels(handbook)]
        assert len(keys) == len(set(keys))
        assert all(id_ for _, id_ in keys)
        for each in handbook.labels:
            assert {label.id for label in each.labels} == set(each.wanted)
            assert all(each.labels.count(label) >= each.wanted[label.id] for label in each.labels)
