"""A trial refuses what the printing refuses, with the same words, and lays out no card that was measured."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from sample_handbook import chair_card, picture, pouch_items, sample_handbook, set_card, template_card

from kitdocs.document.blocks import Illustration, Item
from kitdocs.document.card import Card, Handbook
from kitdocs.document.label_sheet import Label, LabelGrid, LabelSheet
from kitdocs.drawings import drawing
from kitdocs.practice.problems import PublishError
from kitdocs.publish.print.documents import LABELS, REFILL_CARDS, SET_TEMPLATES, Document
from kitdocs.publish.print.rendering import Rendering
from kitdocs.publish.print.run import run_here

pytestmark = pytest.mark.whole


def refusal(document: Document, handbook: Handbook, *, trial: bool) -> tuple[str, list[str]]:
    """Return why a document cannot be printed, and what Typst was asked for."""
    asked: list[str] = []

    def run(function: Any, /, *arguments: Any, **named: Any) -> Any:
        asked.append(f"{function.__name__} {getattr(arguments[0], 'template', '')}".strip())
        return run_here(function, *arguments, **named)

    try:
        document.render(Rendering(handbook, run, trial=trial))
    except PublishError as error:
        return str(error), asked
    return "", asked


def chair(name: str = "Chair 1", word: str = "teal", item: str = "Ties") -> Card:
    items = (Item(id="x", name=item, count=1), *pouch_items(2))
    return chair_card("r/chair-1", name=name, word=word, colour="#00766c", items=items)


def drawn(text: str) -> Card:
    """A template with words in its drawing."""
    card = template_card("t/core", 170, 75)
    words = drawing.document([drawing.text(text, 2, 8, size=4)], width_mm=40, height_mm=10)
    small = Illustration(picture=picture("label", words, "A label"))
    return replace(card, front=(*card.front[:-1], small, card.front[-1]))


@pytest.mark.parametrize(
    ("handbook", "document", "said"),
    [
        (sample_handbook(chair(), card_mm=(30, 30)), REFILL_CARDS, "too small for one row"),
        (sample_handbook(chair(), card_mm=(250, 300)), REFILL_CARDS, "does not fit the paper"),
        (sample_handbook(chair(word="W" * 90)), REFILL_CARDS, "finds no room in the band of its card"),
        (sample_handbook(chair(item="Snowy ☃ ties")), REFILL_CARDS, "cannot print '☃' in “Snowy ☃ ties”"),
        (sample_handbook(chair(item="Zero\x1cties")), REFILL_CARDS, "cannot print"),
        (sample_handbook(template_card("t/core", 3000, 75)), SET_TEMPLATES, "fits no sheets"),
        (sample_handbook(drawn("Snowy ☃ set")), SET_TEMPLATES, "cannot print '☃' in “Snowy ☃ set”"),
    ],
)
def test_a_trial_refuses_with_the_words_of_the_printing(handbook: Handbook, document: Document, said: str) -> None:
    printed, _ = refusal(document, handbook, trial=False)
    assert said in printed
    assert refusal(document, handbook, trial=True)[0] == printed


@pytest.mark.parametrize(
    ("handbook", "document", "asked"),
    [
        (sample_handbook(chair(), set_card("s/core", 6)), REFILL_CARDS, "query wall-copyfitting.typ"),
        (sample_handbook(template_card("t/core", 170, 75)), SET_TEMPLATES, "query copyfitting.typ"),
    ],
)
def test_a_card_that_was_measured_is_not_laid_out_once_more(handbook: Handbook, document: Document, asked: str) -> None:
    assert refusal(document, handbook, trial=True) == ("", [asked])
    printed, others = refusal(document, handbook, trial=False)
    assert not printed and len(others) > 1


def test_a_label_is_tried_once_however_many_there_are() -> None:
    grid = LabelGrid(
        columns=2, rows=4, width_mm=60, height_mm=30, left_mm=20, top_mm=20, across_mm=62, down_mm=32, cut=True
    )
    fits = Label(word="CORE", name="Core set", lines=("Date", "Load"))
    too_long = replace(fits, name="W" * 900)

    def book(*labels: Label) -> Handbook:
        sheet = LabelSheet(kind="end-label", title="Packs", notes=("on plain paper",), grid=grid, labels=labels)
        return replace(sample_handbook(chair()), labels=(sheet,))

    assert refusal(LABELS, book(*[fits] * 8), trial=True) == refusal(LABELS, book(fits), trial=True)
    for trial in (True, False):
        said, _ = refusal(LABELS, book(*[fits] * 7, too_long), trial=trial)
        assert "finds no room on its label" in said
