"""The exact sentence that a person reads for every kind of change, from two real cards; and of the replacement list."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest

from kitdocs.document.blocks import (
    KINDS,
    Band,
    Block,
    Caution,
    Cell,
    Chart,
    Code,
    Fact,
    Facts,
    FormGrid,
    Heading,
    Illustration,
    Item,
    Items,
    Listing,
    Matrix,
    Paragraph,
    Picture,
    Prose,
    Span,
    Step,
    Steps,
    said,
)
from kitdocs.document.card import Card
from kitdocs.document.catalog import built_in_catalog
from kitdocs.document.edition import with_edition
from kitdocs.practice.printed import PrintedCard
from kitdocs.revisions.compare import differences
from kitdocs.revisions.record import printed_card
from kitdocs.shipped import shipped_languages

ENGLISH, SPANISH = built_in_catalog("en"), built_in_catalog("es")


def card(*front: Block, **more: Any) -> Card:
    plain = Card(
        id="r/chair-1", kind="refill-chair", form="wall", title="Chair 1", section="Wall cards", front=front or (OVEN,)
    )
    return with_edition(replace(plain, **more))


def picture(name: str, alt: str = "") -> Picture:
    return Picture(name=name, alt=alt, data=b"", width_mm=10, height_mm=10)


def items(*things: Item, title: str = "") -> Items:
    return Items(items=things, title=title)


def steps(*texts: str | Step, numbered: bool = True) -> Steps:
    own = tuple(step if isinstance(step, Step) else Step(text=step) for step in texts)
    return Steps(title="Packing a pouch", steps=own, numbered=numbered)


def rows(*texts: tuple[str, ...], head: tuple[str, ...] = ("Set", "In all")) -> Matrix:
    return Matrix(title="Stock", head=head, rows=tuple(tuple(Cell(text=text) for text in row) for row in texts))


def listing(*texts: str, ordered: bool = False) -> Prose:
    own = tuple((Paragraph(spans=(Span(text=text),)),) for text in texts)
    return Prose(parts=(Listing(items=own, ordered=ordered),))


TEAL = Band(word="Teal", name="Chair 1", colour="#00766c", note="upstairs", mark=picture("circle-teal", "circle"))
CORE = Band(word="CO", name="Core set")
OVEN = Caution(text="The oven is hot.", title="Hot")
BENDS = Item(id="bends", name="Bending pouch", count=2)
TIES = Item(id="ties", name="Elastic tie pouch", count=1)
MIRROR = Item(id="1-mirror", name="Mirror", number=1)
CODE = Code(
    payload="https://cards.example.org/r/chair-1.html",
    address="cards.example.org/r/chair-1.html",
    edition="",
    note="Scan to open this card.",
    picture=picture("code"),
)
OFFLINE = replace(CODE, payload="Chair 1: 2 bending pouches", address="")
TRAY = Illustration(picture=picture("tray-old"), caption="The core set on its tray")
CHART = Chart(title="Sets in use", picture=picture("chart-old"), summary="Nine sets are out at noon.")
LOG = FormGrid(title="Sterilizer log", columns=("Date", "Load"), widths=(1, 1), rows=10)
NUMBERED = [f"Set {n}" for n in range(9)]

#: Key, old card, new card, and the sentence that a person reads.
CHANGES: list[tuple[str, Card, Card, str]] = [
    ("title", card(), card(title="Window chair"), "Title: Chair 1 → Window chair"),
    ("subtitle", card(subtitle="Teal"), card(), "Subtitle: Teal → –"),
    ("section", card(), card(section="Drawer lists"), "Binder section: Wall cards → Drawer lists"),
    ("hangs", card(hangs="At the washer"), card(hangs="On the wall"), "Location: At the washer → On the wall"),
    ("colour", card(TEAL), card(replace(TEAL, word="Navy", colour="#1c2f63")), "Colour: Teal → Navy"),
    ("shade", card(TEAL), card(replace(TEAL, colour="#00887c")), "New shade of Teal"),
    ("code", card(CORE), card(replace(CORE, word="CR")), "Short code: CO → CR"),
    ("name", card(TEAL), card(replace(TEAL, name="Window chair")), "Name: Chair 1 → Window chair"),
    ("note", card(TEAL), card(replace(TEAL, note="downstairs")), "Below the name: upstairs → downstairs"),
    ("mark", card(TEAL), card(replace(TEAL, mark=picture("star-teal", "star"))), "Mark: circle → star"),
    ("band-mark", card(TEAL), card(replace(TEAL, mark=picture("circle-2", "circle"))), "The mark has changed"),
    ("band-ink", card(TEAL), card(replace(TEAL, ink="#ffffff")), "The lettering has a new colour"),
    ("band-outlined-on", card(TEAL), card(replace(TEAL, outlined=True)), "The band now has an outline"),
    ("band-outlined-off", card(replace(TEAL, outlined=True)), card(TEAL), "The band no longer has an outline"),
    (
        "address",
        card(CODE),
        card(replace(CODE, payload="https://new.example.org/1.html", address="new.example.org/1.html")),
        "Web address: cards.example.org/r/chair-1.html → new.example.org/1.html",
    ),
    (
        "payload",
        card(OFFLINE),
        card(replace(OFFLINE, payload="Chair 1: 3 bending pouches")),
        "The text in the QR code has changed",
    ),
    ("heading", card(LOG), card(replace(LOG, title="Load log")), "Heading: Sterilizer log → Load log"),
    (
        "heading-level",
        card(Heading(text="Monthly", level=2)),
        card(Heading(text="Monthly", level=3)),
        "“Monthly”: heading level 2 → 3",
    ),
    (
        "reworded",
        card(OVEN),
        card(replace(OVEN, text="The oven is very hot.")),
        "Hot: “… oven is hot.” → “… oven is very hot.”",
    ),
    ("illustration-picture", card(TRAY), card(replace(TRAY, picture=picture("tray-new"))), "Picture: new picture"),
    ("illustration-layers", card(TRAY), card(replace(TRAY, layers=2)), "Picture: number of layers 1 → 2"),
    ("chart-picture", card(CHART), card(replace(CHART, picture=picture("chart-new"))), "Sets in use: redrawn"),
    ("block-added", card(OVEN), card(OVEN, said("Nothing loose.")), "Added: Text: Nothing loose."),
    (
        "block-added-alone",
        card(OVEN),
        card(OVEN, Illustration(picture=picture("tray"))),
        "Added: Picture",
    ),
    ("block-removed", card(OVEN, CORE), card(OVEN), "Removed: Band: CO · Core set"),
    ("block-removed-alone", card(OVEN, Illustration(picture=picture("tray"))), card(OVEN), "Removed: Picture"),
    (
        "block-arranged",
        card(said("Nothing loose.")),
        card(listing("Nothing loose.")),
        "Text: new layout",
    ),
    ("arranged", card(OVEN, CORE), card(CORE, OVEN), "The parts are in a new order"),
    ("row-added", card(items(BENDS)), card(items(BENDS, TIES)), "Elastic tie pouch added"),
    ("row-added-many", card(items(TIES)), card(items(TIES, BENDS)), "Bending pouch added (2)"),
    ("row-removed", card(items(BENDS, TIES)), card(items(BENDS)), "Elastic tie pouch removed"),
    ("item-count", card(items(BENDS)), card(items(replace(BENDS, count=3))), "Bending pouch 2 → 3"),
    ("item-layer", card(items(MIRROR)), card(items(replace(MIRROR, layer=2))), "Mirror: layer 1 → 2"),
    (
        "places",
        card(items(MIRROR)),
        card(items(replace(MIRROR, id="2-mirror", number=2))),
        "New positions: Mirror 1 → 2",
    ),
    ("order", card(items(BENDS, TIES)), card(items(TIES, BENDS)), "New order: Elastic tie pouch, Bending pouch"),
    (
        "renamed",
        card(items(BENDS)),
        card(items(replace(BENDS, name="Wire pouch"))),
        "Bending pouch is now called Wire pouch",
    ),
    (
        "row",
        card(Facts(facts=(Fact(label="Wrap", value="18 in"),))),
        card(Facts(facts=(Fact(label="Wrap", value="24 in"),))),
        "Wrap: 18 in → 24 in",
    ),
    (
        "row-picture",
        card(items(BENDS)),
        card(items(replace(BENDS, pictures=(picture("photo"),)))),
        "Bending pouch: new picture",
    ),
    (
        "emphasis",
        card(Prose(parts=(Paragraph(spans=(Span(text="Never stack packs."),)),))),
        card(Prose(parts=(Paragraph(spans=(Span(text="Never stack packs.", strong=True),)),))),
        "“Never stack packs.”: different words are bold or italic",
    ),
    (
        "step",
        card(steps("Fold it.", "Three strips of tape hold it.")),
        card(steps("Fold it.", "Two strips of tape hold it.")),
        "Packing a pouch, 2: “Three strips of …” → “Two strips of …”",
    ),
    (
        "step-added",
        card(steps("Fold it.")),
        card(steps("Fold it.", "Tape it.")),
        "Packing a pouch, 2 added: “Tape it.”",
    ),
    (
        "step-removed",
        card(steps("Fold it.", "Tape it.")),
        card(steps("Fold it.")),
        "Packing a pouch, removed: “Tape it.”",
    ),
    (
        "step-picture",
        card(steps("Fold it.")),
        card(steps(Step(text="Fold it.", picture=picture("fold")))),
        "Packing a pouch, 1: new picture",
    ),
    (
        "steps-numbered-on",
        card(steps("Fold it.", numbered=False)),
        card(steps("Fold it.")),
        "Packing a pouch: now numbered",
    ),
    (
        "steps-numbered-off",
        card(steps("Fold it.")),
        card(steps("Fold it.", numbered=False)),
        "Packing a pouch: no longer numbered",
    ),
    ("text", card(said("Wear gloves.")), card(said("Wear thick gloves.")), "“Wear gloves.” → “Wear thick gloves.”"),
    (
        "text-added",
        card(listing("Wear gloves.")),
        card(listing("Wear gloves.", "Wear glasses.")),
        "Added: “Wear glasses.”",
    ),
    (
        "text-removed",
        card(listing("Wear gloves.", "Wear glasses.")),
        card(listing("Wear gloves.")),
        "Removed: “Wear glasses.”",
    ),
    (
        "listing-ordered-on",
        card(listing("Wear gloves.")),
        card(listing("Wear gloves.", ordered=True)),
        "The list that starts with “Wear gloves.” is now numbered",
    ),
    (
        "listing-ordered-off",
        card(listing("Wear gloves.", ordered=True)),
        card(listing("Wear gloves.")),
        "The list that starts with “Wear gloves.” is no longer numbered",
    ),
    (
        "column",
        card(rows(("Core", "22"))),
        card(rows(("Core", "22"), head=("Set", "Needed"))),
        "Stock, column: In all → Needed",
    ),
    (
        "column-added",
        card(rows(("Core", "22"))),
        card(rows(("Core", "22"), head=("Set", "In all", "Spares"))),
        "Stock, new column: Spares",
    ),
    (
        "column-removed",
        card(rows(("Core", "22"))),
        card(rows(("Core",), head=("Set",))),
        "Stock, column removed: In all",
    ),
    (
        "many-rows",
        card(rows(*((name, "3") for name in NUMBERED))),
        card(rows(*((name, "4") for name in NUMBERED))),
        "Stock, changed rows: Set 0, Set 1, Set 2, Set 3, Set 4, Set 5, Set 6, Set 7, Set 8",
    ),
    ("cell", card(rows(("Core", "22"))), card(rows(("Core", "26"))), "Core, In all: 22 → 26"),
    (
        "cell-tick-on",
        card(Matrix(head=("Checked",), rows=((Cell(text="Door"), Cell()),))),
        card(Matrix(head=("Checked",), rows=((Cell(text="Door"), Cell(tick=True)),))),
        "Door: check box added",
    ),
    (
        "cell-tick-off",
        card(Matrix(head=("Checked",), rows=((Cell(text="Door"), Cell(tick=True)),))),
        card(Matrix(head=("Checked",), rows=((Cell(text="Door"), Cell()),))),
        "Door: check box removed",
    ),
    ("table-row-added", card(rows(("Core", "22"))), card(rows(("Core", "22"), ("Exam", "9"))), "Exam added: 9"),
    ("table-row-added-alone", card(rows(("Core",))), card(rows(("Core",), ("Exam",))), "Exam added"),
    ("table-row-removed", card(rows(("Core", "22"), ("Exam", "9"))), card(rows(("Core", "22"))), "Exam removed: 9"),
    ("table-row-removed-alone", card(rows(("Core",), ("Exam",))), card(rows(("Core",))), "Exam removed"),
    ("form-grid-rows", card(LOG), card(replace(LOG, rows=12)), "Sterilizer log: blank lines 10 → 12"),
]

#: Sentences that say nothing of a single part, with the test that reads them in their place.
ELSEWHERE = {
    "listed": "The list shows the new editions",  # test_replacements.py
    "older": "This card has been replaced 9 times since",  # test_replacements.py
    "disputed": (
        "Two records from the same day disagree on the edition posted here (4X8JM, 7QRTV): remove whichever you find"
    ),  # test_replacements.py
    "unknown": "The text of the earlier card was not recorded",  # below
    "unreadable": "Part of the earlier card’s record cannot be read (front.0.count)",  # below
}
BLOCK_NAMES = {
    "band": "Band",
    "caution": "Caution",
    "chart": "Chart",
    "code": "QR code",
    "facts": "Facts",
    "form-grid": "Form",
    "heading": "Heading",
    "illustration": "Picture",
    "items": "List",
    "matrix": "Table",
    "prose": "Text",
    "sample": "Sample text",
    "steps": "Steps",
}


def sentence(old: Card, new: Card, key: str, language: str = "en") -> str:
    (found,) = differences(printed_card(old, language), printed_card(new, language))
    assert found.kind == key
    return found.sentence(built_in_catalog(language))


@pytest.mark.parametrize(("key", "old", "new", "expected"), CHANGES, ids=[change[0] for change in CHANGES])
def test_a_change_is_reported_in_this_sentence(key: str, old: Card, new: Card, expected: str) -> None:
    assert sentence(old, new, key) == expected
    spanish = sentence(old, new, key, "es")
    assert not re.search(r"[{}]", spanish)
    values = re.findall(r"\d+|Mirror|Chair \d|Core|Exam", expected)
    assert all(value in spanish for value in values)


def test_the_numbers_beside_a_chart_are_compared_like_a_table() -> None:
    def chart(*numbers: str) -> Card:
        return card(replace(CHART, table=rows(*zip(("Core", "Exam"), numbers, strict=False))))

    assert sentence(chart("22"), chart("26"), "cell") == "Core, In all: 22 → 26"
    assert sentence(chart("22"), chart("22", "9"), "table-row-added") == "Exam added: 9"
    assert sentence(chart("22", "9"), chart("22"), "table-row-removed") == "Exam removed: 9"


@pytest.mark.parametrize(("key", "expected"), ELSEWHERE.items())
def test_a_remark_on_the_whole_card_reads_like_this(key: str, expected: str) -> None:
    values: dict[str, Any] = {"n": 9, "editions": "4X8JM, 7QRTV", "parts": "front.0.count"}
    assert ENGLISH(f"changes.{key}", **values) == expected
    assert not re.search(r"[{}]", SPANISH(f"changes.{key}", **values))


@pytest.mark.parametrize("language", shipped_languages())
def test_every_sentence_of_the_changes_is_read_by_a_test(language: str) -> None:
    keys = set(built_in_catalog(language).part("changes"))
    read = {change[0] for change in CHANGES} | set(ELSEWHERE) | {f"block.{kind}" for kind in BLOCK_NAMES}
    assert not keys - read, f"{__file__}: no exact sentence of {sorted(keys - read)}"
    assert not read - keys, f"words/{language}/changes.yaml: no {sorted(read - keys)}"
    assert set(BLOCK_NAMES) == set(KINDS) - {"paragraph", "listing"}


@pytest.mark.parametrize(("kind", "name"), BLOCK_NAMES.items())
def test_a_block_without_a_title_is_called_by_this_name(kind: str, name: str) -> None:
    assert ENGLISH(f"changes.block.{kind}") == name


def test_a_record_without_words_or_with_damaged_ones_is_reported() -> None:
    now = printed_card(card(items(BENDS)), "en")
    (unknown,) = differences(now.model_copy(update={"front": (), "edition": "22222"}), now)
    assert unknown.sentence(ENGLISH) == ELSEWHERE["unknown"]
    damaged = {"is": "items", "items": [{"id": "bends", "name": "Bending pouch", "count": "two"}]}
    old = PrintedCard(
        card="r/chair-1", language="en", edition="22222", title="Chair 1", section="Wall cards", front=(damaged,)
    )
    found = differences(old, now)
    assert [difference.sentence(ENGLISH) for difference in found] == [
        "Part of the earlier card’s record cannot be read (front.0.items.0.count)",
        "Bending pouch – → 2",
    ]


# Long and many ---------------------------------------------------------------------------------------


def english(old: Card, new: Card) -> list[str]:
    found = differences(printed_card(old, "en"), printed_card(new, "en"))
    return [difference.sentence(ENGLISH) for difference in found]


def test_cells_are_compared_below_their_own_heads() -> None:
    """A column that comes between others moves what is behind it, and changes none of it."""
    old = card(rows(("Ties", "3", "1"), ("Bends", "2", "4"), head=("Pouch", "Chair 1", "Exam room")))
    new = card(
        rows(("Ties", "3", "5", "1"), ("Bends", "2", "", "4"), head=("Pouch", "Chair 1", "Chair 2", "Exam room"))
    )
    assert english(old, new) == ["Stock, new column: Chair 2", "Ties, Chair 2: – → 5"]
    assert english(new, old) == ["Stock, column removed: Chair 2"]


def test_of_many_rows_twelve_are_named() -> None:
    names = [f"Set {n}" for n in range(1, 14)]
    old, new = (card(rows(*((name, count) for name in names))) for count in ("3", "4"))
    assert english(old, new) == [f"Stock, changed rows: {', '.join(names[:12])}, …"]
    old, new = (card(rows(*((name, count) for name in names[:12]))) for count in ("3", "4"))
    assert english(old, new) == [f"Stock, changed rows: {', '.join(names[:12])}"]


def test_a_card_with_more_than_twelve_changes_names_only_the_rows_of_its_tables() -> None:
    def changed(things: int, count: int) -> Card:
        listed = tuple(Item(id=f"{n}", name=f"Thing {n}", count=count) for n in range(things))
        return card(items(*listed), rows(("Core", str(count)), ("Exam", str(count))))

    assert english(changed(11, 1), changed(11, 2))[-1] == "Stock, changed rows: Core, Exam"
    assert english(changed(10, 1), changed(10, 2))[-2:] == ["Core, In all: 1 → 2", "Exam, In all: 1 → 2"]


def test_a_text_of_more_than_eighty_letters_is_quoted_where_it_differs() -> None:
    def fact(start: str, words: int) -> Card:
        return card(Facts(facts=(Fact(label="Wrap", value=" ".join([start, *["inch"] * words])),)))

    inches = " ".join(["inch"] * 6)
    assert english(fact("24", 6), fact("18", 6)) == [f"Wrap: 24 {inches} → 18 {inches}"], "65 letters and an arrow"
    assert english(fact("24", 8), fact("18", 8)) == ["Wrap: 24 inch inch … → 18 inch inch …"]


def test_a_new_text_of_more_than_forty_words_is_cut_short() -> None:
    texts = [" ".join(["word"] * n) for n in (40, 41)]
    assert english(card(listing("Wear gloves.")), card(listing("Wear gloves.", texts[0]))) == [f"Added: “{texts[0]}”"]
    assert english(card(listing("Wear gloves.")), card(listing("Wear gloves.", texts[1]))) == [f"Added: “{texts[0]} …”"]


def test_a_qr_code_that_holds_the_text_of_the_card_is_not_reported_beside_the_text() -> None:
    other = replace(OFFLINE, payload="Chair 1: 3 bending pouches")
    assert english(card(items(BENDS), OFFLINE), card(items(replace(BENDS, count=3)), other)) == ["Bending pouch 2 → 3"]


def test_blocks_are_known_by_their_title_before_their_kind() -> None:
    wrap, label = (Facts(title=title, facts=(Fact(label="Size", value="18"),)) for title in ("Wrap", "Label"))
    bigger = replace(label, facts=(Fact(label="Size", value="24"),))
    assert english(card(wrap, label), card(bigger, replace(wrap, facts=(Fact(label="Size", value="20"),)))) == [
        "Size: 18 → 24",
        "Size: 18 → 20",
    ]
    (found, _) = differences(printed_card(card(wrap, label), "en"), printed_card(card(bigger), "en"))
    assert found.where == "Label"


# The replacement list ---------------------------------------------------------------------------------

#: Key, values, and the words that a person reads. Which of them stands where, test_replacement_list.py reads.
REPLACEMENT_LIST: list[tuple[str, dict[str, object], str]] = [
    ("document", {}, "Replacement sheets"),
    ("list", {}, "Replacement list"),
    (
        "how",
        {},
        "Print all pages double-sided at 100 %, flipped on the long edge, and cut the wall cards along the crop marks. "
        "Then go from place to place. Check off each line once the old card is in your hand and the new one is in "
        "place. Afterwards, destroy what you took out.",
    ),
    ("bar", {}, "new in this edition"),
    ("out", {}, "Take out"),
    ("in", {}, "Put in"),
    ("changed", {}, "What changed"),
    ("done", {}, "Done"),
    ("no_edition", {}, "earlier edition"),
    ("sheets.one", {"labels": "4A"}, "sheet 4A"),
    ("sheets.other", {"labels": "5, 6"}, "sheets 5, 6"),
    ("labels_off.one", {"n": 1}, "take off 1 label"),
    ("labels_off.other", {"n": 3}, "take off 3 labels"),
    ("labels_on.one", {"n": 1}, "put on 1 label"),
    ("labels_on.other", {"n": 3}, "put on 3 labels"),
    ("labels_left", {}, "throw away all that are left"),
    ("label_at.one", {"sheet": 1, "first": 4}, "sheet 1, place 4"),
    ("label_at.other", {"sheet": 1, "first": 4, "last": 6}, "sheet 1, places 4 to 6"),
    (
        "label_from",
        {"sheet": 1, "first": 25, "last_sheet": 2, "last": 9},
        "from sheet 1, place 25, to sheet 2, place 9",
    ),
    ("moves", {"old": "A3", "new": "B2"}, "Moves from A3 to B2."),
    (
        "other_cassette",
        {},
        "The set lies in another cassette now: take the marks off the old cassettes and stick new ones on the others.",
    ),
    ("label_looks", {}, "Reads the same, looks different."),
    (
        "how_labels",
        {},
        "Labels to stick on are in the file of labels; the list says on which sheet of their kind, and at which "
        "places, counted row by row.",
    ),
    ("added", {}, "New card."),
    ("withdrawn", {}, "No longer used."),
    ("as_posted", {}, "Same as the posted card."),
    ("contents_sheet", {}, "Contents of the binder"),
    ("contents_changed", {}, "Its list has changed."),
    ("of_card", {"card": "Visits", "change": "New card."}, "Visits: New card."),
    ("wall_label", {"sheet": 2}, "Wall cards 2"),
    ("place.entrance", {}, "At the entrance"),
    ("place.wall", {}, "On the wall of the reprocessing room"),
    ("place.bench", {}, "At the packing table"),
    ("place.machine", {}, "At the machines"),
    ("place.storage", {}, "At the storage shelves"),
    ("place.drawer", {}, "In the drawers at the chairs"),
    ("place.chair", {}, "At the chairs"),
    ("place.staff-room", {}, "In the staff room"),
    ("place.binder", {}, "In the binder"),
    ("place.elsewhere", {}, "Elsewhere"),
    ("count.one", {"n": 1}, "1 item to replace"),
    ("count.other", {"n": 3}, "3 items to replace"),
]


@pytest.mark.parametrize(("key", "values", "expected"), REPLACEMENT_LIST, ids=[line[0] for line in REPLACEMENT_LIST])
def test_the_replacement_list_reads_like_this(key: str, values: dict[str, Any], expected: str) -> None:
    assert ENGLISH(f"swap.{key}", **values) == expected
    spanish = SPANISH(f"swap.{key}", **values)
    assert not re.search(r"[{}]", spanish) and all(str(value) in spanish for value in values.values())


@pytest.mark.parametrize("language", shipped_languages())
def test_every_sentence_of_the_replacement_list_is_read_by_a_test(language: str) -> None:
    assert set(built_in_catalog(language).part("swap")) == {line[0] for line in REPLACEMENT_LIST}
