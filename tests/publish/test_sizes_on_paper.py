"""What is read with busy hands is printed large enough: nothing under 10 pt but what is listed here, with the reason.

UK CAA, CAP 676, issue 3: 12 pt for the body, 10 pt at least, at about 600 mm. Labels: `test_labels_on_paper.py`. Forms
are not here: their rows are set in 9 pt, near the hand that fills them in.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from itertools import groupby

import pypdfium2 as pdfium
import pytest
from pdf_pages import letters

from kitdocs.document.blocks import Code, Facts, Illustration, Matrix, Picture
from kitdocs.document.card import Card, Handbook
from kitdocs.handbook.build_handbook import make_handbook
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.publish.print.documents import MISHAPS, POSTER, POUCH_LISTS, REFILL_CARDS, SET_TEMPLATES, Document
from kitdocs.publish.print.rendering import Rendering

pytestmark = pytest.mark.whole

LEAST = 10.0
#: What is not part of a drawing.
LEAST_OF_ALL = 7.0

#: Sentences that are read when a sheet is printed, not while it is worked by.
AT_THE_PRINTER = ("ruler", "sheet_of", "page_of", "front", "back", "turn", "one_sided")
#: Heads of a list's columns, which say what its rows show anyway.
HEADS = ("place", "what", "what_for", "how_many")


def pressed(words: str) -> str:
    """Words without the white between them, which a line of print may part at any place."""
    return "".join(words.split())


def may_be_small(handbook: Handbook, cards: Iterable[Card]) -> Iterator[str]:
    """Regular expressions of all that may be under 10 pt on these cards, without white."""
    words = handbook.words
    for key in (*AT_THE_PRINTER, *HEADS):
        yield re.sub(r"\\\{\w+\\\}", r"\\d+", re.escape(pressed(words.sentences[f"print.{key}"])))
    small = [handbook.practice, words("binder.proof_strip")]
    for card in cards:
        small += (words("print.edition", edition=card.edition), words("print.hangs", place=card.hangs))
        small += on_the_margin(card)
    yield from (re.escape(pressed(said)) for said in small)


def on_the_margin(card: Card) -> Iterator[str]:
    """Title in the foot, section above the title; what stands at the code, heads of tables, and below drawings."""
    yield from (card.title, card.section)
    for block in card.blocks:
        if isinstance(block, Code):
            yield from (block.note, block.address)
        elif isinstance(block, Matrix):
            yield from block.head
        elif isinstance(block, Illustration):
            yield block.caption
        elif isinstance(block, Facts):
            yield from (fact.label for fact in block.facts if fact.picture)


def drawn(cards: Iterable[Card]) -> set[str]:
    """Words that are part of a drawing, as those on a label that is drawn smaller than it is."""
    pictures = {
        picture.data
        for card in cards
        for block in card.blocks
        for picture in (
            *([block.picture] if isinstance(block, Illustration) else ()),
            *([fact.picture for fact in block.facts] if isinstance(block, Facts) else ()),
        )
        if isinstance(picture, Picture)
    }
    return {pressed(words) for data in pictures for words in re.findall(r">([^<>]+)</text>", data.decode())}


@pytest.mark.parametrize("language", ["es", "de"])
@pytest.mark.parametrize(
    "document", [REFILL_CARDS, POUCH_LISTS, SET_TEMPLATES, MISHAPS, POSTER], ids=lambda of: of.file
)
def test_nothing_that_is_worked_by_is_under_ten_points(
    example: Practice, example_plan: Plan, document: Document, language: str
) -> None:
    handbook = make_handbook(example, example_plan, language)
    cards = [card for card in handbook.cards if document.holds(card)]
    in_drawings = drawn(cards)
    listed = re.compile("|".join(sorted(filter(None, may_be_small(handbook, cards)), key=len, reverse=True)))
    for page in pdfium.PdfDocument(document.render(Rendering(handbook))):
        for size, run in groupby(letters(page), key=lambda letter: round(letter.size, 1)):
            words = "".join(letter.sign for letter in run)
            if size < LEAST and words not in in_drawings:
                left = re.sub(r"[\d\W]+", "", listed.sub("", words))
                assert (size >= LEAST_OF_ALL, left) == (True, ""), (size, words)
