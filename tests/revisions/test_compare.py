"""What is different between two editions, held against Python's difflib on the text of both as a terminal shows it."""

from __future__ import annotations

import difflib
import io
import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.console import Console

from kitdocs.command.terminal import show_card
from kitdocs.document.blocks import (
    Band,
    Block,
    Caution,
    Cell,
    Code,
    Fact,
    Facts,
    FormGrid,
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
)
from kitdocs.document.card import Card, Handbook
from kitdocs.document.catalog import built_in_catalog
from kitdocs.document.content import read_content
from kitdocs.document.edition import with_edition
from kitdocs.handbook.build_handbook import make_handbook
from kitdocs.planning.plan import Plan, make_plan
from kitdocs.practice.model import Practice
from kitdocs.practice.printed import PrintedCard
from kitdocs.practice.reading.reader import read_practice
from kitdocs.revisions.alignment import Pair, aligned
from kitdocs.revisions.compare import differences
from kitdocs.revisions.record import printed_card
from kitdocs.revisions.rows import LONG
from kitdocs.revisions.sentences import Difference, marks, sentences

ENGLISH = built_in_catalog("en")


def picture(name: str, alt: str = "") -> Picture:
    return Picture(name=name, alt=alt, data=b"", width_mm=10, height_mm=10)


def card(*front: Block, **more: Any) -> Card:
    return with_edition(
        replace(Card(id="r/teal", kind="refill-chair", form="wall", title="Teal", section="Wall", front=front), **more)
    )


def between(old: Card, new: Card) -> tuple[Difference, ...]:
    return differences(printed_card(old, "en"), printed_card(new, "en"))


def said(old: Card, new: Card) -> list[str]:
    return list(sentences(between(old, new), ENGLISH))


def band(word: str, colour: str, mark: str = "circle", name: str = "Chair 1") -> Band:
    return Band(word=word, name=name, colour=colour, mark=picture(f"chair-{mark}-{colour}", mark))


BENDS = Item(id="bends", name="Bending pouch", count=2)
TIES = Item(id="ties", name="Elastic tie pouch", count=1)
TEAL = card(band("Teal", "#00766c"), Items(items=(BENDS, TIES)))


def test_a_chair_that_was_recoloured_and_has_another_drawer_is_told_in_a_technicians_words() -> None:
    scissors = Item(id="scissors", name="Scissors pouch", count=1)
    trim = Item(id="trim", name="Trimming pouch", count=3)
    new = card(band("Sea green", "#2e8b57"), Items(items=(replace(BENDS, count=3), scissors, trim)))
    assert said(TEAL, new) == [
        "Colour: Teal → Sea green",
        "Bending pouch 2 → 3",
        "Scissors pouch added",
        "Trimming pouch added (3)",
        "Elastic tie pouch removed",
    ]
    assert marks(between(TEAL, new)) == {"front.0", "front.1.bends", "front.1.scissors", "front.1.trim", "front.1"}


def test_a_name_that_changed_is_told_once_though_title_and_band_have_it() -> None:
    old = card(band("Teal", "#00766c"), title="Refill: Chair 1", subtitle="Teal")
    new = card(band("Navy", "#1c2f63", name="Chair A"), title="Refill: Chair A", subtitle="Navy")
    assert said(old, new) == ["Colour: Teal → Navy", "Name: Chair 1 → Chair A"]


def test_what_only_a_mark_or_a_picture_shows_is_told_too() -> None:
    assert said(card(band("Teal", "#00766c")), card(band("Teal", "#00766c", "star"))) == ["Mark: circle → star"]
    assert said(card(band("Teal", "#00766c")), card(band("Teal", "#00776d"))) == ["New shade of Teal"]
    photo = replace(BENDS, pictures=(picture("photo-1"),))
    assert said(card(Items(items=(BENDS,))), card(Items(items=(photo,)))) == ["Bending pouch: new picture"]


def test_a_thing_that_has_another_name_is_told_once_though_other_lines_mention_it() -> None:
    def core(name: str) -> Card:
        return card(
            Items(items=(Item(id="weingart", name=name),)),
            Facts(facts=(Fact(label="Spares", value=f"Scaler · {name}"), Fact(label="Tape", value="3 strips"))),
        )

    old, new = core("Weingart plier"), core("Utility plier")
    assert said(old, new) == ["Weingart plier is now called Utility plier"]
    assert marks(between(old, new)) == {"front.0.weingart", "front.1.0"}


def test_a_chairs_drawing_follows_its_colour() -> None:
    teal = Item(id="chair-1", name="Chair 1", detail="teal, circle", pictures=(picture("circle-teal"),))
    navy = replace(teal, detail="navy, circle", pictures=(picture("circle-navy"),))
    assert said(card(Items(items=(teal,))), card(Items(items=(navy,)))) == ["Chair 1: teal, circle → navy, circle"]


def test_a_picture_that_shows_another_mark_is_told_by_the_mark() -> None:
    zigzag = Item(id="banding", name="Banding set", pictures=(picture("set-zigzag", "a zigzag"),))
    dots = replace(zigzag, pictures=(picture("set-dots", "dots"),))
    assert said(card(Items(items=(zigzag,))), card(Items(items=(dots,)))) == ["Banding set: a zigzag → dots"]


def test_a_row_that_is_a_sentence_is_not_called_otherwise_but_reworded() -> None:
    def looks(code: str) -> Card:
        line = Cell(text=f"Lays each set by its template and takes the five looks: {code}, SB, CO")
        return card(Matrix(head=("What",), rows=((line, Cell(tick=True)),)))

    assert said(looks("EX"), looks("EM")) == ["“… five looks: EX, SB, CO” → “… five looks: EM, SB, CO”"]


def test_facts_in_another_order_are_told_as_such() -> None:
    size, label, tape = (Fact(label=name, value="1") for name in ("Size", "Label", "Tape"))
    assert said(card(Facts(facts=(size, label))), card(Facts(facts=(label, size)))) == ["New order: Label, Size"]
    renamed = replace(label, label="End label", value="CO")
    assert said(
        card(Facts(facts=(size, renamed))), card(Facts(facts=(size, replace(renamed, label="Mark"), tape)))
    ) == [
        "End label is now called Mark",
        "Tape added: 1",
    ]


def test_an_instrument_that_comes_in_between_moves_the_places_behind_it_in_one_sentence() -> None:
    def places(*names: str) -> Card:
        rows = tuple(Item(id=f"{n}-{name}", name=name, number=n) for n, name in enumerate(names, 1))
        return card(Items(title="The places", items=rows))

    old, new = (
        places("mirror", "explorer", "scaler", "mirror"),
        places("mirror", "director", "explorer", "scaler", "mirror"),
    )
    assert said(old, new) == ["director added", "New positions: explorer 2 → 3, scaler 3 → 4, mirror 4 → 5"]
    assert marks(between(old, new)) == {
        "front.0.2-director",
        "front.0.3-explorer",
        "front.0.4-scaler",
        "front.0.5-mirror",
    }


def test_an_instrument_that_lies_on_another_layer_or_belongs_elsewhere_is_told() -> None:
    old = Item(id="1-mirror", name="Mirror", number=1, where=(Span(text="Core set"),))
    new = replace(old, layer=2, where=(Span(text="Exam set"),))
    assert said(card(Items(items=(old,))), card(Items(items=(new,)))) == [
        "Mirror: layer 1 → 2",
        "Mirror: Core set → Exam set",
    ]


def test_reworded_steps_show_just_what_is_different() -> None:
    old = card(
        Steps(
            title="Packing", steps=(Step(text="Clean, dry, looked over."), Step(text="Three strips of tape hold it."))
        )
    )
    new = card(
        Steps(title="Packing", steps=(Step(text="Clean, dry, looked over."), Step(text="Two strips of tape hold it.")))
    )
    assert said(old, new) == ["Packing, 2: “Three strips of …” → “Two strips of …”"]
    assert marks(between(old, new)) == {"front.0.1"}


def test_rows_of_a_table_are_known_by_their_first_cell_and_columns_by_their_head() -> None:
    def table(*rows: tuple[str, ...]) -> Card:
        cells = tuple(tuple(Cell(text=text) for text in row) for row in rows)
        return card(Matrix(title="Stock", head=("Set", "In all"), rows=cells))

    old, new = (
        table(("Core", "22"), ("Exam", "10"), ("Old", "3")),
        table(("New", "4"), ("Core", "26"), ("Exam room", "10")),
    )
    assert said(old, new) == [
        "New added: 4",
        "Core, In all: 22 → 26",
        "Exam is now called Exam room",
        "Old removed: 3",
    ]
    assert marks(between(old, new)) == {"front.0.0", "front.0.1", "front.0.2", "front.0"}


def test_a_card_that_hangs_elsewhere_is_told() -> None:
    assert said(replace(TEAL, hangs="wall"), replace(TEAL, hangs="bench")) == ["Location: wall → bench"]


def test_parts_that_only_stand_in_another_order_are_told() -> None:
    blocks = (Caution(text="Hot"), Facts(facts=(Fact(label="Sheet", value="18 in"),)))
    assert said(card(*blocks), card(*reversed(blocks))) == ["The parts are in a new order"]
    assert said(card(Items(items=(BENDS, TIES))), card(Items(items=(TIES, BENDS)))) == [
        "New order: Elastic tie pouch, Bending pouch"
    ]


def test_what_an_earlier_card_said_may_not_be_recorded() -> None:
    old = printed_card(TEAL, "en").model_copy(update={"front": (), "edition": "22222"})
    assert sentences(differences(old, printed_card(TEAL, "en")), ENGLISH) == (
        "The text of the earlier card was not recorded",
    )


# Any two cards -----------------------------------------------------------------------------------

WORD = st.sampled_from(["tape", "pouch", "set", "strip", "", "two words", "three words more"])
PICTURES = st.lists(st.sampled_from(["a", "b"]).map(picture), max_size=2).map(tuple)
CELL = st.builds(Cell, text=WORD, detail=WORD, link=st.sampled_from(["", "x"]), tick=st.booleans())
ROWS = st.lists(st.tuples(CELL, CELL), max_size=3).map(tuple)
SPANS = st.lists(st.builds(Span, text=WORD, strong=st.booleans()), max_size=2).map(tuple)
PARAGRAPH = st.builds(Paragraph, spans=SPANS)
LISTING = st.builds(Listing, items=st.tuples(st.tuples(PARAGRAPH)))
ITEM = st.builds(
    Item,
    id=st.sampled_from(["a", "b", "1-a", "2-a"]),
    name=WORD,
    detail=WORD,
    count=st.none() | st.integers(1, 3),
    number=st.none() | st.integers(1, 2),
    layer=st.integers(1, 2),
    pictures=PICTURES,
    where=SPANS,
)
STEP = st.builds(Step, text=WORD, picture=st.none() | st.just(picture("a")), choices=st.sampled_from([(), ("x",)]))
BLOCK = st.one_of(
    st.builds(Band, word=WORD, name=WORD, note=WORD, colour=st.sampled_from(["#ffffff", "#00766c"])),
    st.builds(Facts, facts=st.lists(st.builds(Fact, label=WORD, value=WORD), max_size=3).map(tuple), title=WORD),
    st.builds(Items, items=st.lists(ITEM, max_size=3).map(tuple), title=WORD),
    st.builds(Steps, steps=st.lists(STEP, max_size=3).map(tuple), title=WORD, numbered=st.booleans()),
    st.builds(Caution, text=WORD, title=WORD),
    st.builds(Matrix, head=st.tuples(WORD, WORD), rows=ROWS, title=WORD),
    st.builds(FormGrid, columns=st.tuples(WORD), widths=st.just((1.0,)), rows=st.integers(1, 2), given=ROWS),
    st.builds(Prose, parts=st.lists(PARAGRAPH | LISTING, max_size=2).map(tuple)),
    st.builds(Code, payload=WORD, address=WORD, edition=st.just(""), note=WORD, picture=st.just(picture("code"))),
)  # fmt: skip
CARD = st.lists(BLOCK, min_size=1, max_size=3).map(lambda blocks: card(*blocks))


@given(CARD, CARD)
def test_two_cards_are_read_alike_when_and_only_when_nothing_is_told(old: Card, new: Card) -> None:
    assert (between(old, new) == ()) == (read_content(old) == read_content(new))
    assert all("{" not in sentence for sentence in said(old, new))


FIELDS = ["is", "items", "rows", "head", "steps", "facts", "text", "name", "id", "picture", "count", "title", "table"]


def nested(inner: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.lists(inner, max_size=2) | st.dictionaries(st.sampled_from(FIELDS), inner, max_size=4)


JUNK: st.SearchStrategy[Any] = st.recursive(st.none() | st.booleans() | st.integers() | WORD, nested, max_leaves=8)
KINDS = st.sampled_from(["items", "matrix", "steps", "facts", "prose", "form-grid", "band", "code", "chart", "strange"])


@given(st.lists(st.tuples(KINDS, JUNK), min_size=1, max_size=3), CARD)
def test_a_record_that_somebody_meddled_with_is_compared_all_the_same(junk: list[tuple[str, Any]], new: Card) -> None:
    front = [{**(more if isinstance(more, dict) else {"items": more}), "is": kind} for kind, more in junk]
    old = PrintedCard(card="r/teal", language="en", edition="22222", title="Teal", front=front)
    assert sentences(differences(old, printed_card(new, "en")), ENGLISH)


# The example, changed ------------------------------------------------------------------------------

WHAT_IFS: list[Mapping[str, str]] = [
    {"chairs.chair-1.name": "Window chair", "chairs.chair-2.drawer.bends": "6"},
    {"sets.core.name": "Basic set", "instruments.weingart.name": "Arch-placing plier"},
    {"procedures.wire-change.per_day": "34", "room.wrap.strips": "2"},
    {"practice.site": "https://cards.example.org", "practice.ask[1].where": "at the desk"},
    {"room.stages.wash.cycle": "40 min", "room.stages.sterilize.capacity.slim": "6"},
    {"procedures.wire-change.name": "New archwire", "pouches.bends.size": "large-pouch"},
]


@pytest.fixture(scope="module")
def before(example: Practice) -> Handbook:
    return make_handbook(example, make_plan(example, days=20))


@pytest.mark.whole
@pytest.mark.usefixtures("codes_alike")
@pytest.mark.parametrize("changes", WHAT_IFS, ids=lambda changes: next(iter(changes)))
def test_every_line_that_difflib_finds_changed_is_covered_by_a_sentence(
    example: Practice, before: Handbook, changes: Mapping[str, str]
) -> None:
    practice = read_practice(example.folder, changes)
    plan: Plan = make_plan(practice, days=20)
    after = make_handbook(practice, plan)
    changed = 0
    for new in after.cards:
        old = before.card(new.id)
        told = said(old, new)
        lines = [
            line
            for line in difflib.ndiff(rendered(old), rendered(new))
            if line.startswith(("- ", "+ ")) and line[2:].strip()
        ]
        assert bool(told) == (old.edition != new.edition), new.id
        if old.edition == new.edition:
            assert lines == [], f"{new.id} is read differently, but has the same edition"
        uncovered = uncovered_words(lines, told) if not summed_up(told) else unnamed_rows(old, new, told)
        assert uncovered == set(), (new.id, told)
        changed += bool(lines)
    assert changed > 1


@cache
def rendered(card: Card) -> tuple[str, ...]:
    """The lines of a card in a window so wide that none is broken; the code holds the edition and is left out."""
    window = Console(file=io.StringIO(), width=3000, color_system=None)
    show_card(window, replace(card, front=without_code(card.front), back=without_code(card.back)))
    window.print(card.hangs)
    assert isinstance(window.file, io.StringIO)
    return tuple(re.sub(r"\s{2,}", "  ", line).strip() for line in window.file.getvalue().splitlines())


def without_code(blocks: tuple[Block, ...]) -> tuple[Block, ...]:
    return tuple(block for block in blocks if not isinstance(block, Code))


def uncovered_words(lines: list[str], told: list[str]) -> set[str]:
    """Words that stand more often in the lines of one side than of the other, and in no sentence."""
    sides = [Counter(word for line in lines if line[0] == sign for word in words(line[2:])) for sign in "-+"]
    spoken = {word for sentence in told for word in words(sentence)}
    return {*(sides[0] - sides[1]), *(sides[1] - sides[0])} - spoken


def words(text: str) -> list[str]:
    return re.findall(r"[\w%]+", text)


def summed_up(told: list[str]) -> bool:
    return any(", changed rows: " in sentence for sentence in told)


def unnamed_rows(old: Card, new: Card, told: list[str]) -> set[str]:
    """First cells of rows that stand in only one of the two cards, and in no sentence; a sentence names twelve."""
    rows = [
        Counter(row for block in of.blocks if isinstance(block, Matrix) for row in told_rows(block))
        for of in (old, new)
    ]
    names = {row[0] for row in ((rows[0] - rows[1]) + (rows[1] - rows[0]))}
    return (
        set()
        if any(sentence.endswith("…") for sentence in told)
        else {n for n in names if not any(n in s for s in told)}
    )


def told_rows(block: Matrix) -> list[tuple[str, ...]]:
    return [
        tuple(" ".join((cell.text, cell.detail)) if n else cell.text for n, cell in enumerate(row))
        for row in block.rows
    ]


def test_lines_that_take_the_place_of_others_are_paired_one_by_one() -> None:
    assert list(aligned(["a", "b", "end"], ["x", "y", "end"])) == [Pair("a", "x", 0), Pair("b", "y", 1)]
    assert list(aligned(["a", "end"], ["x", "y", "end"])) == [Pair("a", "x", 0), Pair(None, "y", 1)]
    assert list(aligned(["a", "b", "end"], ["x", "end"])) == [Pair("a", "x", 0), Pair("b", None, 1)]


def test_a_row_that_is_longer_than_it_was_has_an_empty_cell_before() -> None:
    def table(*cells: Cell) -> Card:
        return card(Matrix(head=("Set", "Code", "Strips"), rows=((Cell(text="Core set"), *cells),)))

    code = Cell(text="CO", detail="on the lid")
    assert said(table(code), table(code, Cell(text="3"))) == ["Core set, Strips: – → 3"]
    assert said(table(code), table(Cell(text="CR", detail="on the lid"))) == [
        "Core set, Code: CO · on the lid → CR · on the lid"
    ]


def test_two_names_are_quoted_whole_up_to_80_letters_and_in_excerpts_beyond() -> None:
    def named(name: str) -> Card:
        return card(Items(items=(Item(id="a", name=name),)))

    old = "one two three four five six seven eight"
    new = old.replace("four", "4444" + "4" * (LONG - 2 * len(old) - 1))
    assert len(f"{old} {new}") == LONG
    assert said(named(old), named(new)) == [f"{old} is now called {new}"]
    (longer,) = said(named(old), named(new.replace("4", "44", 1)))
    assert "…" in longer and "one" not in longer


def test_many_rows_that_changed_are_named_with_those_that_are_new() -> None:
    def table(minutes: str, *more: str) -> Card:
        names = [f"Visit {n}" for n in range(1, 10)]
        rows = tuple((Cell(text=name), Cell(text=minutes)) for name in names)
        return card(
            Matrix(head=("Visit", "Minutes"), rows=(*rows, *((Cell(text=name), Cell(text="5")) for name in more)))
        )

    (told,) = said(table("20"), table("30", "Recall"))
    assert "Visit 9" in told and "Recall" in told and "–" not in told
