"""What is known of a card's fit is not asked again, whatever cards are beside it."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from sample_handbook import picture, pouch_list_card, sample_handbook

from kitdocs.cache import Cache
from kitdocs.document.blocks import Illustration
from kitdocs.document.card import Card, Handbook
from kitdocs.drawings.drawing import document, rect
from kitdocs.publish.print.copyfitting import CardFits
from kitdocs.publish.print.data import PrintData
from kitdocs.publish.print.run import run_here

pytestmark = pytest.mark.whole


class Asked:
    """The ids of the cards that Typst was asked about."""

    def __init__(self) -> None:
        self.cards: list[str] = []

    def __call__(self, function: Any, /, *args: Any, **named: Any) -> Any:
        self.cards += [card["id"] for card in json.loads(args[0].files["data.json"])["cards"]]
        return run_here(function, *args, **named)


def fits_of(handbook: Handbook, cache: Cache) -> tuple[dict[str, Any], list[str]]:
    asked = Asked()
    data = PrintData(handbook)
    data.add(handbook.cards, "")
    return json.loads(CardFits(asked, cache).fit(data).files["fits.json"]), asked.cards


def test_only_the_card_that_changed_is_measured_again(tmp_path: Path) -> None:
    cards = [pouch_list_card(f"drawer/{n}", 3 + n) for n in range(4)]
    first, asked = fits_of(sample_handbook(*cards), Cache(tmp_path))
    assert sorted(asked) == sorted(first) == [card.id for card in cards]
    assert fits_of(sample_handbook(*cards), Cache(tmp_path)) == (first, [])
    changed = sample_handbook(cards[0], replace(cards[1], title="Another title"), *cards[2:])
    assert fits_of(changed, Cache(tmp_path))[1] == [cards[1].id]
    assert fits_of(changed, Cache(tmp_path))[0] == fits_of(changed, Cache(None))[0]
    other_paper = sample_handbook(*cards, paper="a4")
    assert len(fits_of(other_paper, Cache(tmp_path))[1]) == len(cards)


def test_a_card_with_another_drawing_of_the_same_size_is_not_measured_again(tmp_path: Path) -> None:
    def card(side: float, colour: str) -> Card:
        drawing = document([rect(0, 0, 4, 4, fill=colour)], width_mm=side, height_mm=side)
        block = Illustration(picture=picture("x", drawing, "A square"))
        card = pouch_list_card("drawer/1", 3)
        return replace(card, front=(*card.front, block))

    first, asked = fits_of(sample_handbook(card(20, "#ffffff")), Cache(tmp_path))
    assert asked == ["drawer/1"]
    assert fits_of(sample_handbook(card(20, "#000000")), Cache(tmp_path)) == (first, [])
    assert fits_of(sample_handbook(card(20, "#000000")), Cache(None))[0] == first
    assert fits_of(sample_handbook(card(60, "#000000")), Cache(tmp_path))[1] == ["drawer/1"]
