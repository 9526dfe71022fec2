"""Replacement sheets: only what must be exchanged, with a bar beside what is new."""

from __future__ import annotations

import io
from dataclasses import replace
from functools import cache

import numpy as np
import pikepdf
import pytest
from pdf_pages import box_mm, page_texts, pixels, tags
from sample_handbook import chair_card, every_block, picture, pouch_items, pouch_list_card, sample_handbook, set_card

from kitdocs.document.blocks import Code, Items
from kitdocs.document.card import Card, Handbook
from kitdocs.document.history import Replacement
from kitdocs.drawings import drawing
from kitdocs.publish.print.binder import binder, binder_sheets
from kitdocs.publish.print.documents import REFILL_CARDS
from kitdocs.publish.print.readback import read_codes
from kitdocs.publish.print.rendering import Rendering
from kitdocs.publish.print.replacement import render_replacements

pytestmark = pytest.mark.whole

NEW = "N3W99"


def with_counts(card: Card, count: int) -> Card:
    """The card with another count in its second row."""
    band, items, *rest = card.front
    assert isinstance(items, Items)
    rows = (items.items[0], replace(items.items[1], count=count), *items.items[2:])
    return replace(card, edition=NEW, front=(band, replace(items, items=rows), *rest))


def teal() -> Card:
    return chair_card("r/teal", name="Chair 1", word="teal", colour="#00766c", items=pouch_items(3))


def the_handbook(*cards: Card, sheets: dict[str, tuple[str, ...]] | None = None) -> Handbook:
    return replace(sample_handbook(*cards), sheets=sheets or {})


def before() -> Handbook:
    wall = (
        replace(teal(), place="wall"),
        replace(
            chair_card("r/pink", name="Chair 2", word="pink", colour="#d81b74", items=pouch_items(2)), place="wall"
        ),
    )
    drawer = replace(pouch_list_card("drawer/teal", 3), place="drawer")
    first = the_handbook(*wall, drawer, every_block())
    return replace(first, sheets=binder_sheets(first))


def now() -> Handbook:
    was = before()
    cards = [with_counts(card, 7) if card.id in {"r/teal", "drawer/teal"} else card for card in was.cards]
    new = replace(set_card("s/new", 3), title="Small set", edition=NEW, place="wall", hangs=cards[0].hangs)
    return replace(was, cards=(*cards[:1], new, *cards[2:]))


def replacements() -> list[Replacement]:
    was, is_ = before(), now()
    changed = [
        Replacement(
            card=id_,
            action="replace",
            title=is_.card(id_).title,
            old_title=is_.card(id_).title,
            old_section=is_.card(id_).section,
            hangs=is_.card(id_).hangs,
            old_hangs=is_.card(id_).hangs,
            old_edition=was.card(id_).edition,
            new_edition=NEW,
            changes=("Trimming pouch: 1 → 7",),
            marked=frozenset({"front.1.pouch-1"}),
            sheets=was.sheets[id_],
        )
        for id_ in ("r/teal", "drawer/teal")
    ]
    pink = was.card("r/pink")
    return [
        changed[0],
        Replacement(card="s/new", action="add", title="Small set", hangs=pink.hangs, new_edition=NEW),
        changed[1],
        Replacement(
            card="r/pink",
            action="take-out",
            title=pink.title,
            subtitle=pink.subtitle,
            old_section=pink.section,
            hangs=pink.hangs,
            old_edition=pink.edition,
            sheets=was.sheets["r/pink"],
        ),
    ]


@cache
def printed() -> bytes:
    return render_replacements(now(), replacements())


@cache
def labels() -> list[str]:
    with pikepdf.open(io.BytesIO(printed())) as pdf:
        return [page.label for page in pdf.pages]


def test_only_what_must_be_exchanged_is_printed_and_the_list_comes_first():
    assert labels()[::2] == [
        "Replacement list",
        "Wall cards 1",
        "Drawer of Chair 1",
        "Contents",
        "1",
        "1A",
        "3",
    ]
    assert labels()[1::2] == [f"{label} back" for label in labels()[::2]]


def test_the_list_says_what_to_take_out_and_what_to_put_in():
    text = page_texts(printed())[0]
    for words in (
        *("On the wall of the reprocessing room", "In the drawers at the chairs", "In the binder"),
        *("edition K7Q2M", f"edition {NEW}", "Trimming pouch: 1", "sheet 1 · edition K7Q2M", "sheet 1A"),
        *("No longer used.", "New card.", "Contents of the binder"),
    ):
        assert words in text


def test_the_few_lines_of_a_place_stay_on_one_page_of_the_list():
    """The wall's lines leave room for some of the binder's six, and not for all."""
    first, *others = replacements()
    texts = page_texts(render_replacements(now(), [replace(first, changes=("Trimming pouch: 1 → 7, " * 60,)), *others]))
    (place,) = (text for text in texts if "In the binder" in text and "Put in" in text)
    assert "On the wall of the reprocessing room" not in place
    assert all(words in place for words in ("Contents of the binder", "sheet 1 ·", "sheet 1A", "sheet 3 ·"))


def test_wall_cards_are_cut_from_a_sheet_and_are_in_the_binder_too():
    texts = page_texts(printed())
    wall = texts[labels().index("Wall cards 1")]
    assert "Refill Chair 1" in wall
    assert "Small set" in wall
    assert "Refill Chair 1" in texts[labels().index("1")]
    assert "Small set" in texts[labels().index("1A")]
    assert not any("Chair 2" in text for text in texts[1:]), "the withdrawn card is printed nowhere"


def test_backs_of_wall_cards_register_as_those_of_all_refill_cards_do():
    """The same fronts and backs as in refill-cards.pdf, so the test of that document holds here too."""
    handbook = now()
    alone = REFILL_CARDS.render(Rendering(replace(handbook, cards=(handbook.card("s/new"), handbook.card("s/new")))))
    pdf = render_replacements(handbook, [replace(replacements()[1], card="s/new")])
    with pikepdf.open(io.BytesIO(pdf)) as document:
        at = [page.label for page in document.pages].index("Wall cards 1")
    for side in (0, 1):
        here, there = (pixels(of, page, dpi=60).min(axis=2) < 128 for of, page in ((pdf, at + side), (alone, side)))
        half = here.shape[0] // 2
        # The first of two cards; the note in the margin says another title.
        assert (here[: half - 20] == there[: half - 20]).mean() > 0.999


def bars(page: int, left_mm: float, right_mm: float) -> tuple[float, float, float, float]:
    """The box of what is dark and at least 5 mm high between two distances from the left."""
    image = pixels(printed(), page, dpi=200).max(axis=2) < 90
    mm = 200 / 25.4
    strip = image[:, int(left_mm * mm) : int(right_mm * mm)]
    tall = np.flatnonzero([_longest(column) >= 5 * mm for column in strip.T])
    assert tall.size, "no bar"
    mask = np.zeros_like(image)
    mask[:, int(left_mm * mm) + tall] = strip[:, tall]
    return box_mm(mask, 200)


def _longest(column: np.ndarray) -> int:
    edges = np.flatnonzero(np.diff(np.concatenate(([0], column.astype(int), [0]))))
    return int((edges[1::2] - edges[::2]).max(initial=0))


def test_a_bar_stands_in_the_margin_beside_the_row_that_is_new():
    """Common practice of loose-leaf manuals. Letter, bound: the text ends 14 mm from the right edge."""
    page = labels().index("1")
    left, top, right, bottom = bars(page, 202.5, 206)
    assert 203 < left < right < 206, "beyond the text, beside the tab of its section, if it has one"
    assert 5 < bottom - top < 25, "as high as one row"
    texts = page_texts(printed())
    assert "new in this edition" in texts[page]


def test_what_is_new_as_a_whole_has_no_bar():
    page = labels().index("1A")
    with pytest.raises(AssertionError, match="no bar"):
        bars(page, 202.5, 206)
    assert "new in this edition" not in page_texts(printed())[page]


def test_a_mark_changes_neither_edition_nor_anything_else_that_is_read():
    marked = page_texts(printed())[labels().index("1")].replace("new in this edition · ", "")
    whole = binder(Rendering(now()))
    with pikepdf.open(io.BytesIO(whole)) as pdf:
        at = [page.label for page in pdf.pages].index("1")
    assert marked == page_texts(whole)[at]


def test_every_code_of_the_sheets_is_read_back():
    handbook = now()
    codes = [code.text for code in read_codes(printed())]
    for id_, times in (("r/teal", 2), ("s/new", 2), ("drawer/teal", 2), ("pages/every", 0)):
        (payload,) = [block.encoded for block in handbook.card(id_).blocks if isinstance(block, Code)]
        assert codes.count(payload) == times, id_


def test_the_contents_stay_when_only_a_count_changes():
    pdf = render_replacements(now(), replacements()[:1])
    with pikepdf.open(io.BytesIO(pdf)) as document:
        assert [page.label for page in document.pages][::2] == ["Replacement list", "Wall cards 1", "1"]


def test_a_poster_is_a_sheet_of_its_own():
    square = picture("m", drawing.document([drawing.rect(0, 0, 9, 9)], width_mm=9, height_mm=9), "square")
    poster = replace(
        teal(), id="poster", kind="poster", form="poster", title="Whose colour is this?", place="staff-room", back=()
    )
    poster = replace(poster, front=(replace(poster.front[0], mark=square), *poster.front[2:]))  # type: ignore[arg-type]
    handbook = the_handbook(every_block(), poster)
    added = Replacement(card="poster", action="add", title=poster.title, hangs=poster.hangs, new_edition=NEW)
    pdf = render_replacements(handbook, [added])
    with pikepdf.open(io.BytesIO(pdf)) as document:
        assert [page.label for page in document.pages] == ["Replacement list", "Replacement list back", "Poster"]
    assert "Whose colour is this?" in page_texts(pdf)[2]


def test_a_spanish_handbook_is_exchanged_in_spanish():
    handbook = replace(now(), language="es", words=sample_handbook(language="es").words)
    texts = page_texts(render_replacements(handbook, replacements()[3:]))
    assert "Lista de reemplazos" in texts[0]
    assert "Ya no se usa." in texts[0]


def test_the_replacement_sheets_can_be_read_aloud():
    """Points of PDF/UA-1; the rule numbers are those of veraPDF's open profile PDF_UA/PDFUA-1.xml."""
    with pikepdf.open(io.BytesIO(printed())) as pdf:
        assert pdf.Root.MarkInfo.Marked
        assert str(pdf.Root.Lang) == "en"
        with pdf.open_metadata() as meta:
            assert meta["pdfuaid:part"] == "1"
            assert meta["dc:title"] == "Replacement sheets"
    kinds = [kind for kind, _ in tags(printed())]
    assert kinds.count("THead") == kinds.count("Table") >= 3
    arrows = [element for kind, element in tags(printed()) if kind == "Figure" and str(element.Alt) == "→"]
    assert len(arrows) >= 2
