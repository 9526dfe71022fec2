"""What the register of block kinds promises of every kind, whatever it is.

A failure names the place that a new kind still lacks: its type, its macro, its Typst function or its sentences.
"""

from __future__ import annotations

import dataclasses
import io
import re
from html import unescape
from typing import Any, get_type_hints

import pypdfium2 as pdfium
import pytest
from block_samples import CARD_LINKS, Variant, samples, variants
from rich.console import Console

from kitdocs.command.terminal import drawn_block
from kitdocs.document import blocks
from kitdocs.document.blocks import KINDS, Caution
from kitdocs.document.card import Card, Handbook
from kitdocs.document.catalog import MessageCatalog, built_in_catalog
from kitdocs.document.content import as_read, content
from kitdocs.document.edition import with_edition
from kitdocs.document.parse import parse_blocks
from kitdocs.document.purpose import Purpose, fields_of
from kitdocs.document.walk import pictures_in, words_in
from kitdocs.publish.print.data import PrintData
from kitdocs.publish.print.documents import sheets
from kitdocs.publish.site.frame import Here, picture_file
from kitdocs.publish.site.templates import environment, macro_of
from kitdocs.revisions.compare import differences
from kitdocs.revisions.record import printed_card
from kitdocs.revisions.sentences import sentences
from kitdocs.shipped import shipped_folder, shipped_languages

TEMPLATES = shipped_folder("site_templates")
SAMPLES = samples()
EVERY_SAMPLE = pytest.mark.parametrize("name", SAMPLES)
EVERY_KIND = pytest.mark.parametrize("kind", KINDS)
ON_PAPER = Purpose.READ | Purpose.WORDS


def card(*front: Any, id_: str = "x") -> Card:
    made = Card(id=id_, kind="page", form="sheet", title="Title", section="Section", hangs="Wall", front=front)
    return with_edition(made)


def changes(old: Card, new: Card, language: str) -> tuple[str, ...]:
    found = differences(printed_card(old, language), printed_card(new, language))
    assert all(difference.kind not in ("arranged", "block-arranged", "unknown") for difference in found)
    return sentences(found, built_in_catalog(language))


def assert_whole(sentence: str) -> None:
    """Whether a sentence is finished: no key or placeholder, nothing left empty, no general remark."""
    assert not re.search(r"[{}]|“”|«»|: *[:,]|: *$|→ *$|^ *[:→]|: *→|looks different|\bNone\b|\bchanges\.", sentence), (
        sentence
    )
    assert sentence.strip() and not re.search(r"\b[a-z]+-[a-z]+-?(on|off)?$", sentence), sentence


# The type --------------------------------------------------------------------------------------------


def parts(kind: Any) -> set[Any]:
    """The dataclasses that the fields of a kind hold."""
    held = {hint for field in fields_of(kind) for hint in _flat(field.type) if dataclasses.is_dataclass(hint)}
    return held.union(*(parts(part) for part in held - {kind} - set(KINDS.values())))


def _flat(hint: Any) -> set[Any]:
    return {hint}.union(*(_flat(inner) for inner in getattr(hint, "__args__", ())))


def declared() -> list[type]:
    return [thing for thing in vars(blocks).values() if isinstance(thing, type) and thing.__module__ == blocks.__name__]


def test_every_type_of_blocks_is_a_kind_or_part_of_one() -> None:
    reached = set(KINDS.values()).union(*(parts(kind) for kind in KINDS.values()))
    missing = [kind.__name__ for kind in declared() if kind not in reached]
    assert not missing, f"kitdocs/document/blocks.py: {missing} in neither `Block` nor `ProsePart`"
    assert len(reached) > 18


@pytest.mark.parametrize("kind", declared(), ids=lambda kind: kind.__name__)
def test_every_field_declares_its_purpose(kind: type) -> None:
    hints = get_type_hints(kind, include_extras=True)
    silent = [name for name, hint in hints.items() if not hasattr(hint, "__metadata__")]
    assert not silent, f"kitdocs/document/blocks.py: {kind.__name__} declares no purpose of {silent}"


# The edition and the record --------------------------------------------------------------------------


def _paths(name: str) -> list[Variant]:
    return list(variants(SAMPLES[name]))


@EVERY_SAMPLE
def test_an_edition_moves_with_every_field_that_is_read_and_with_no_other(name: str) -> None:
    edition = card(SAMPLES[name]).edition
    found = {variant.path for variant in _paths(name) if card(variant.block).edition != edition}
    assert found == {variant.path for variant in _paths(name) if Purpose.READ in variant.purpose}
    assert found, "a block that nobody reads"


@EVERY_SAMPLE
def test_a_recorded_block_is_parsed_back(name: str) -> None:
    lost: list[str] = []
    recorded = content(card(SAMPLES[name]))["front"]
    (parsed,) = parse_blocks(recorded, "front", lost)
    assert (as_read(parsed), lost) == (as_read(SAMPLES[name]), [])
    assert content(card(parsed))["front"] == recorded


# The sentences ---------------------------------------------------------------------------------------


@EVERY_KIND
@pytest.mark.parametrize("language", shipped_languages())
def test_every_kind_has_a_name_in_the_changes(kind: str, language: str) -> None:
    key = f"changes.block.{kind}"
    has = key in built_in_catalog(language).sentences or kind in ("paragraph", "listing")
    assert has, f"site_templates/words/{language}/changes.yaml: no `block: {kind}:`"


@EVERY_SAMPLE
@pytest.mark.parametrize("language", shipped_languages())
def test_a_block_that_is_added_left_out_or_moved_is_reported_in_a_whole_sentence(name: str, language: str) -> None:
    block, other = SAMPLES[name], Caution(text="Hot", title="Oven")
    words = list(words_in(block, ON_PAPER))
    for found in (
        changes(card(other), card(other, block), language),
        changes(card(other, block), card(other), language),
    ):
        (sentence,) = found
        assert_whole(sentence)
        assert all(word in sentence for word in words)
    old, new = (printed_card(each, language) for each in (card(other, block), card(block, other)))
    (moved,) = differences(old, new)
    assert moved.kind == "arranged"


@EVERY_SAMPLE
@pytest.mark.parametrize("language", shipped_languages())
def test_every_changed_field_is_reported_in_a_whole_sentence(name: str, language: str) -> None:
    for variant in _paths(name):
        if Purpose.READ in variant.purpose:
            try:
                found = changes(card(SAMPLES[name]), card(variant.block), language)
            except KeyError as missing:
                pytest.fail(f"site_templates/words/{language}/changes.yaml: no sentence {missing} for {variant.path}")
            assert found, variant.path
            for sentence in found:
                assert_whole(sentence)
            new = set(words_in(variant.block, ON_PAPER)) - set(words_in(SAMPLES[name], ON_PAPER))
            assert all(any(word in sentence for sentence in found) for word in new), (variant.path, found)


# Page, sheet and terminal ----------------------------------------------------------------------------


@pytest.fixture(scope="module")
def handbook() -> Handbook:
    linked = tuple(card(id_=link) for link in CARD_LINKS)
    return Handbook(
        practice="Practice",
        language="en",
        words=built_in_catalog("en"),
        languages=("en",),
        paper="letter",
        cards=(card(*SAMPLES.values(), id_="pages/all"), *linked),
    )


@EVERY_KIND
def test_every_kind_has_its_macro(kind: str) -> None:
    macro = macro_of(object.__new__(KINDS[kind]))
    has = hasattr(environment().get_template("blocks.html.j2").module, macro)
    assert has, f"site_templates/site/blocks.html.j2: no macro `{macro}`"


@EVERY_KIND
def test_every_kind_has_its_typst_function(kind: str) -> None:
    has = f"#let draw-{kind}(b, cx" in (TEMPLATES / "print" / "blocks.typ").read_text("utf-8")
    assert has, f"site_templates/print/blocks.typ: no function `draw-{kind}`"


@EVERY_SAMPLE
def test_a_page_shows_all_words_and_pictures_of_a_block(name: str, handbook: Handbook) -> None:
    here = Here(handbook=handbook, path="pages/all.html", title="All", handbooks=[handbook])
    module: Any = environment().get_template("blocks.html.j2").module
    page = unescape(str(module.draw(SAMPLES[name], here)))
    assert [word for word in words_in(SAMPLES[name], Purpose.SEARCHED) if word not in page] == []
    pictures = pictures_in(SAMPLES[name], without=Purpose.PAPER)
    assert [picture.name for picture in pictures if picture_file(picture) not in page] == []


def test_a_sheet_shows_all_words_of_every_kind(handbook: Handbook) -> None:
    document = pdfium.PdfDocument(sheets(handbook, handbook.cards[:1], title="All"))
    text = " ".join(page.get_textpage().get_text_bounded() for page in document)
    missing = {
        name: [word for word in words_in(block, ON_PAPER) if word not in text]
        for name, block in SAMPLES.items()
        if name != "code"  # in the head of a sheet, the QR code without its note
    }
    assert {name: words for name, words in missing.items() if words} == {}


@EVERY_SAMPLE
def test_a_terminal_shows_all_words_of_a_block(name: str) -> None:
    window = Console(file=io.StringIO(), width=400, color_system=None)
    window.print(drawn_block(SAMPLES[name]))
    assert isinstance(window.file, io.StringIO)
    shown = window.file.getvalue()
    assert [word for word in words_in(SAMPLES[name], ON_PAPER) if word not in shown] == []


@EVERY_SAMPLE
def test_every_row_can_carry_a_change_bar(name: str, handbook: Handbook) -> None:
    """A row that is marked by its id or its place is new; its neighbour and the block are not."""
    block = SAMPLES[name]
    for field in fields_of(type(block)):
        if Purpose.ROWS in field.purpose:
            rows = getattr(block, field.name)
            row = getattr(rows[1], "id", "1")
            data = PrintData(handbook, marked={"pages/all": [f"front.0.{row}"]})
            data.add([card(block, id_="pages/all")], "Title")
            plain: Any = data.said["cards"]
            drawn = plain[0]["front"][0]
            flags = [(row[0] if isinstance(row, list) else row).get("new", False) for row in drawn[field.name]]
            assert (flags, drawn.get("new", False)) == ([False, True], False)


def test_the_checks_above_would_find_a_gap() -> None:
    with pytest.raises(AssertionError):
        assert_whole("Added: Table: ")
    with pytest.raises(AssertionError):
        assert_whole("steps-numbered-on")
    with pytest.raises(KeyError):
        MessageCatalog("en", {})("changes.title")
