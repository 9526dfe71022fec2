"""A card's edition is a short code of what a person reads on it, the same on every machine and every day."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from kitdocs.handbook.blocks import Band, Code, Item, Items, Picture
from kitdocs.handbook.card import Card
from kitdocs.handbook.edition import ALPHABET, edition_of, with_edition

ROOT = Path(__file__).parents[2]
TIP = Picture(name="tip-explorer", data=b"<svg/>", width_mm=18, height_mm=22)
CARD = Card(
    id="r/teal",
    kind="refill-chair",
    form="wall",
    title="Chair 2",
    section="Refill cards",
    front=(
        Band(word="teal", name="Chair 2", colour="#00766c"),
        Items(items=(Item(id="ties", name="Ties pouch", count=2, pictures=(TIP,)),)),
    ),
)


def edition(card: Card) -> str:
    return with_edition(card).edition


def with_item(**changes: object) -> Card:
    items = CARD.front[1]
    assert isinstance(items, Items)
    return replace(CARD, front=(CARD.front[0], Items(items=(replace(items.items[0], **changes),))))  # type: ignore[arg-type]


def test_unchanged_content_has_an_unchanged_edition() -> None:
    assert edition(CARD) == edition(with_item(count=2))


def test_another_count_name_colour_or_picture_is_another_edition() -> None:
    other_picture = replace(TIP, name="tip-scaler")
    other_band = replace(CARD, front=(Band(word="teal", name="Chair 2", colour="#00766d"), CARD.front[1]))
    editions = {
        edition(card)
        for card in (
            CARD,
            with_item(count=3),
            with_item(name="Tie pouch"),
            with_item(pictures=(other_picture,)),
            other_band,
            replace(CARD, title="Chair 3"),
            replace(CARD, back=CARD.front),
        )
    }
    assert len(editions) == 7


def test_a_drawing_drawn_better_is_the_same_edition() -> None:
    assert edition(with_item(pictures=(replace(TIP, data=b"<svg><path/></svg>"),))) == edition(CARD)


def test_where_it_hangs_and_what_comes_next_are_not_on_the_card() -> None:
    assert edition(replace(CARD, hangs="on the wall", next="r/blue")) == edition(CARD)


def test_a_card_moved_to_another_address_needs_a_new_print() -> None:
    def code(address: str) -> Code:
        return Code(payload=f"https://{address}", address=address, edition="", note="", picture=TIP)

    here, there = (replace(CARD, front=(*CARD.front, code(a))) for a in ("a.example/r/teal", "b.example/r/teal"))
    assert edition(here) != edition(there)


def test_an_edition_is_short_and_none_of_its_letters_look_alike() -> None:
    codes = {edition_of(n) for n in range(2000)}
    assert len(codes) > 1990, "with 24^5 codes, 2,000 of them hardly ever meet"
    assert all(re.fullmatch(r"[2-9CDFGHJKMNPQRTVWX]{5}", code) for code in codes)
    assert not set("0O1IL5SZ8B2") - set("258") & set(ALPHABET)


@pytest.mark.whole
def test_the_editions_do_not_depend_on_the_hash_seed() -> None:
    program = (
        "from kitdocs import make_handbooks, make_plan, read_practice\n"
        "practice = read_practice('example_practice')\n"
        "for handbook in make_handbooks(practice, make_plan(practice, days=5)):\n"
        "    print(*(f'{card.id} {card.edition}' for card in handbook.cards), sep='\\n')"
    )
    said = {
        subprocess.run(
            [sys.executable, "-c", program],
            cwd=ROOT,
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(said) == 1 and len(said.pop().splitlines()) > 50
