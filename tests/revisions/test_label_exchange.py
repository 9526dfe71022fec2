"""Labels and marks in the print record, and what to take off and stick on (common practice, no source)."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from random import Random

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
    places_on_sheets,
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
    return LabelSheet(kind=kind, title=kind, notes=(), grid=GRID, labels=labels * 4, wanted=wanted_of)


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
    assert group.lines[0].taken.more == "End labels: throw away all that are left"
    assert group.lines[0].put is not None
    assert (group.lines[0].put.title, group.lines[0].put.more) == (
        "CR · Core set",
        "End labels: put on 5 labels · sheet 1, places 1 to 5",
    )


def test_each_label_is_listed_at_the_place_where_it_is_stuck_on(book):
    """A tag at the drawer, a mark where packs are made, a label of a shelf there; one list, no lump of labels."""
    shelf = Label(id="A2 core", word="A2", name="Core set", note="CO, 5 packs")
    before = replace(book, labels=(sheet("chair-tag", TEAL), sheet("cassette-mark", CORE), sheet("place-label", shelf)))
    sheets = (
        sheet("chair-tag", replace(TEAL, colour="#123456")),
        sheet("cassette-mark", replace(CORE, word="CR")),
        sheet("place-label", replace(shelf, note="CO, 6 packs")),
    )
    changed = due(before, *sheets)
    bench, storage, drawer = replacement_list(replace(book, labels=sheets), [], [], labels=changed)
    assert (bench.place, storage.place) == ("At the packing table", "At the storage shelves")
    assert drawer.place == "In the drawers at the chairs"
    (tag,) = drawer.lines
    assert tag.taken and tag.put and tag.taken.title == tag.put.title == "Teal · Chair 1"
    assert tag.changes[0] == "Reads the same, looks different."
    assert "one for the place where its pouches are gathered" in tag.changes[1]
    (place,) = storage.lines
    assert place.taken and place.put
    assert (place.taken.title, place.put.title) == ("A2 · Core set", "A2 · Core set")
    assert (place.taken.more, place.put.more) == (
        "CO, 5 packs\nLabels of the places: take off 1 label",
        "CO, 6 packs\nLabels of the places: put on 1 label · sheet 1, place 1",
    )
    assert (place.changes, bench.lines[0].changes) == (("CO, 5 packs → CO, 6 packs",), ())


def shelf(**places: str) -> LabelSheet:
    """The labels of a shelf: what stands at each of its places."""
    labels = [Label(id=f"{code} {what}", word=code, name=what.title()) for code, what in places.items()]
    return sheet("place-label", *labels)


def moves(before: LabelSheet, after: LabelSheet, book: Handbook) -> list[tuple[str, str, str]]:
    return [(each.action, each.old, each.new) for each in due(replace(book, labels=(before,)), after)]


def test_what_moves_on_the_shelves_is_one_line_from_its_old_place_to_its_new_one(book):
    assert moves(shelf(A1="core", A2="ties"), shelf(A1="core", B2="ties"), book) == [
        ("move", "A2 · Ties", "B2 · Ties"),
    ]
    swapped = shelf(A1="ties", A2="core")
    assert moves(shelf(A1="core", A2="ties"), swapped, book) == [
        ("move", "A2 · Ties", "A1 · Ties"),
        ("move", "A1 · Core", "A2 · Core"),
    ]
    (line, _) = replacement_list(
        book, [], [], labels=due(replace(book, labels=(shelf(A1="core", A2="ties"),)), swapped)
    )[0].lines
    assert line.changes == ("Moves from A2 to A1.",)


def test_what_takes_the_place_of_something_that_is_gone_is_one_line(book):
    assert moves(shelf(A1="core", A2="ties"), shelf(A1="core", A2="bends"), book) == [
        ("replace", "A2 · Ties", "A2 · Bends"),
    ]
    assert moves(shelf(A1="core", A2="ties", A3="bends"), shelf(A1="core", A2="bends"), book) == [
        ("move", "A3 · Bends", "A2 · Bends"),
        ("take-out", "A2 · Ties", ""),
    ]


def test_a_drawer_keeps_its_label_s_place_when_another_one_comes_before_it(book):
    """Codes are counted: with a new drawer before it, D1 becomes D2, and the drawer stays where it is."""
    spares, new = Label(id="drawer spares", word="D1", name="Spares"), Label(id="drawer tape", word="D1", name="Tape")
    found = moves(sheet("place-label", spares), sheet("place-label", new, replace(spares, word="D2")), book)
    assert found == [("add", "", "D1 · Tape"), ("replace", "D1 · Spares", "D2 · Spares")]


def test_a_record_that_knows_a_drawer_by_its_code_asks_for_nothing(book):
    """Version 1.0.0 recorded drawers and hooks so."""
    old = sheet("place-label", Label(id="D1", word="D1", name="Spares"), Label(id="H1", word="H1", name="Tape"))
    same = sheet(
        "place-label",
        Label(id="drawer spares", word="D1", name="Spares"),
        Label(id="hook tape", word="H1", name="Tape hook"),
    )
    assert moves(old, same, book) == [("replace", "H1 · Tape", "H1 · Tape hook")]


def test_marks_go_to_other_cassettes_with_their_set(book):
    slim, medium = (sheet("cassette-mark", replace(CORE, on=on), wanted=3) for on in ("slim", "medium"))
    (marks,) = due(replace(book, labels=(slim,)), medium)
    assert (marks.action, marks.taken, marks.put, marks.other_cassette) == ("replace", 3, 3, True)
    (line,) = replacement_list(book, [], [], labels=[marks])[0].lines
    assert line.changes == (
        "The set lies in another cassette now: take the marks off the old cassettes and stick new ones on the others.",
    )
    unknown = sheet("cassette-mark", CORE, wanted=3)
    assert due(replace(book, labels=(unknown,)), medium) == [], "version 1.0.0 did not record the cassette"


def test_a_label_of_another_version_is_listed_with_what_is_known_of_it(book):
    """A kind that this version does not know, and a label without words, are still taken off."""
    known = printed_labels(book)
    odd = known[0].model_copy(update={"kind": "door-sign", "label": "north", "text": ""})
    record = PrintRecord(runs={"2026-11-20-44444": PrintRun(date="2026-11-20", labels=(*known, odd))})
    (exchange,) = label_exchanges(record, book)
    (group,) = replacement_list(book, [], [], labels=[exchange])
    assert group.place == "Elsewhere"
    assert group.lines[0].taken is not None
    assert (group.lines[0].taken.title, group.lines[0].taken.more) == (
        "north",
        "door-sign: throw away all that are left",
    )
    wordless = tuple(each.model_copy(update={"text": "", "edition": "ZZZZZ"}) for each in known[:1])
    record = PrintRecord(runs={"2026-11-20-44444": PrintRun(date="2026-11-20", labels=(*wordless, *known[1:]))})
    (exchange,) = label_exchanges(record, book)
    ((line,),) = (group.lines for group in replacement_list(book, [], [], labels=[exchange]))
    assert line.taken is not None
    assert (line.taken.title, line.taken.more) == ("chair-1", "Chair tags: take off 2 labels")


#: Packs of the drawn stores, and the places where they may stand.
PACKS, CODES = ("core", "exam", "ties", "bends", "trim"), ("A1", "A2", "A3", "B1", "B2", "B3", "B4")
ENDS = ("add", "take-out")


def drawn_store(draw: Random) -> LabelSheet:
    """Some packs at places of their own, one of them sometimes at two."""
    places = draw.sample(CODES, draw.randint(1, len(PACKS) + 1))
    return shelf(**{code: draw.choice(PACKS) for code in places})


@pytest.mark.parametrize("seed", range(60))
def test_whoever_does_what_the_lines_say_has_the_labels_of_today(book, seed):
    """The labels that hang are a heap: what each line takes off leaves it, what it puts on joins it."""
    draw = Random(seed)
    before = replace(book, labels=(drawn_store(draw), sheet("chair-tag", TEAL, PINK, wanted=draw.randint(1, 3))))
    tags = sheet("chair-tag", *draw.sample((TEAL, PINK), draw.randint(1, 2)), wanted=draw.randint(1, 3))
    now = replace(before, labels=(drawn_store(draw), tags))
    hanging, wanted = (Counter({label.text: label.count for label in printed_labels(one)}) for one in (before, now))
    lines = label_exchanges(recorded(before), now)
    for line in lines:
        assert hanging[line.old] >= line.taken
        hanging[line.old] -= line.taken
    for line in lines:
        hanging[line.new] += line.put
    assert +hanging == wanted
    for line in lines:
        if line.action == "move":
            assert line.old.split(" · ")[1] == line.new.split(" · ")[1]
        if line.action == "replace" and line.kind == "place-label":
            assert line.places[0] == line.places[1]
    apart = [line for line in lines if line.kind == "place-label" and line.action in ("add", "take-out")]
    ends = {kind: [(line.old or line.new).split(" · ") for line in apart if line.action == kind] for kind in ENDS}
    for part in (0, 1):
        come, gone = ({text[part] for text in ends[kind]} for kind in ENDS)
        assert not come & gone, "nothing that moves, or takes a place, stands on two lines"


@pytest.mark.parametrize("wanted", [1, 5, 8, 13, 20])
def test_a_label_is_where_the_list_says_that_it_is_printed(book, wanted):
    """The places from the first to the last that the list names hold this label, and no other place does."""
    tags = sheet("chair-tag", *(replace(each, name=f"New {each.name}") for each in (TEAL, PINK)), wanted=wanted)
    now = replace(book, labels=(tags, book.labels[1]))
    lines = label_exchanges(recorded(book), now)
    (printed,) = sheets_of_exchanged(now, lines)
    on_sheets = places_on_sheets([printed])
    for line in lines:
        at = on_sheets[line.kind, line.label]
        first, last = (
            (n - 1) * GRID.places + place for n, place in ((at.sheet, at.place), (at.last_sheet, at.last_place))
        )
        there = [n for n, label in enumerate(printed.labels, 1) if label.id == line.label]
        assert there == list(range(first, last + 1))
        assert len(there) == line.put


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
