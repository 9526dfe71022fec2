"""Where a practice's photos stand: beside its drawings where there is room, or instead of them on every card."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Literal

import pytest
from PIL import Image

from kitdocs import Plan, Practice
from kitdocs.document.blocks import Cell, Illustration, Item, Items, Matrix, Picture
from kitdocs.document.card import Card, Handbook
from kitdocs.document.catalog import built_in_catalog
from kitdocs.document.edition import with_edition
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.chairs import pouch_list, refill_chair
from kitdocs.handbook.cards.guides import pouch_guide
from kitdocs.handbook.cards.instruments import instrument_card
from kitdocs.handbook.cards.procedure_map import procedure_map
from kitdocs.handbook.cards.sets import refill_set, template
from kitdocs.practice.own_drawing import OwnDrawing
from kitdocs.practice.settings import Photos

How = Literal["beside", "instead"]
Cards = dict[str, Card]
Make = Callable[[How], Cards]


@pytest.fixture(scope="module")
def make(example: Practice, example_plan: Plan, tmp_path_factory: pytest.TempPathFactory) -> Make:
    """The example with photos of a set, an add-on, a drawer pouch and an instrument, standing as it is told."""
    folder = tmp_path_factory.mktemp("photos")
    drawer = next(iter(next(iter(example.chairs.values())).drawer))
    sizes = {"core": (400, 300), "detailing": (300, 300), drawer: (300, 200), "weingart": (200, 300)}
    photos = {thing: folder / f"{thing}.png" for thing in sizes}
    for thing, size in sizes.items():
        Image.new("RGB", size, (90, 120, 150)).save(photos[thing])

    def made(how: How) -> Cards:
        settings = example.settings.model_copy(update={"photos": Photos(instruments=how, sets=how, pouches=how)})
        practice = replace(example, settings=settings, photos=photos)
        brief = Brief(practice=practice, plan=example_plan, words=built_in_catalog("en"))
        chair = next(iter(example.chairs))
        cards = (
            refill_set(brief, "core"),
            template(brief, "core"),
            refill_chair(brief, chair),
            pouch_list(brief, chair),
            instrument_card(brief),
            procedure_map(brief),
            pouch_guide(brief),
        )
        return {card.id: with_edition(card) for card in cards}

    return made


@pytest.fixture(scope="module")
def beside(make: Make) -> Cards:
    return make("beside")


@pytest.fixture(scope="module")
def instead(make: Make) -> Cards:
    return make("instead")


def items(card: Card) -> Iterator[Item]:
    for block in card.blocks:
        if isinstance(block, Items):
            yield from block.items


def row(cards: Cards, card: str, item: str) -> list[str]:
    """The names of the pictures in a row, without what tells one photo from another."""
    found = next(each for each in items(cards[card]) if each.id.endswith(item))
    return [short(picture) for picture in found.pictures]


def short(picture: Picture) -> str:
    return picture.name.rpartition("-")[0] if picture.name.startswith("photo-") else picture.name


def test_on_a_refill_card_a_photo_stands_only_where_the_practice_wants_it_instead(
    beside: Cards, instead: Cards
) -> None:
    assert row(beside, "s/core", "weingart") == ["tip-weingart-plier"]
    assert row(instead, "s/core", "weingart") == ["photo-weingart"]
    assert row(instead, "s/core", "mirror") == ["tip-mouth-mirror"], "no photo of it: the drawing stays"


def test_the_card_of_instruments_shows_both_or_the_photo(beside: Cards, instead: Cards) -> None:
    assert row(beside, "instruments", "weingart") == ["tip-weingart-plier", "photo-weingart"]
    assert row(instead, "instruments", "weingart") == ["photo-weingart"]


def test_where_no_drawing_fits_the_photo_stands_alone_on_every_card(example: Practice, example_plan: Plan) -> None:
    def shown(drawing: str, *, own: bool = False) -> tuple[list[str], list[str]]:
        record = example.instruments["weingart"].model_copy(update={"drawing": drawing})
        folder = Path(tempfile.mkdtemp())
        Image.new("RGB", (40, 30), (90, 120, 150)).save(folder / "weingart.jpg")
        svg = OwnDrawing(svg="<svg/>", digest="0123456789")
        practice = replace(
            example,
            instruments={**example.instruments, "weingart": record},
            photos={"weingart": folder / "weingart.jpg"},
            drawings={**example.drawings, **({"weingart": svg} if own else {})},
        )
        brief = Brief(practice=practice, plan=example_plan, words=built_in_catalog("en"))
        cards = {card.id: card for card in (refill_set(brief, "core"), instrument_card(brief))}
        return row(cards, "s/core", "weingart"), row(cards, "instruments", "weingart")

    assert shown("other-plier") == (["photo-weingart"], ["photo-weingart"])
    assert shown("weingart-plier") == (["tip-weingart-plier"], ["tip-weingart-plier", "photo-weingart"])
    own = "own-weingart-0123456789"
    assert shown("other-plier", own=True) == ([own], [own, "photo-weingart"])


def test_a_sets_photo_stands_behind_the_drawing_or_in_its_place_as_large(
    beside: Cards, instead: Cards, example: Practice
) -> None:
    both, one = ([b for b in h["t/core"].blocks if isinstance(b, Illustration)] for h in (beside, instead))
    assert [b.picture.format for b in both] == ["svg", "jpeg"]
    assert [b.true_size for b in both] == [True, False]
    (photo,) = one
    inside = example.cassettes[example.sets["core"].cassette].inside
    assert photo.picture.format == "jpeg" and photo.true_size
    assert photo.picture.width_mm == pytest.approx(min(inside.length, inside.width * 400 / 300), abs=0.1)
    assert photo.picture.width_mm / photo.picture.height_mm == pytest.approx(400 / 300, abs=0.01)


def test_a_drawer_pouchs_photo_takes_the_place_of_what_is_in_it(
    beside: Cards, instead: Cards, example: Practice
) -> None:
    chair, of = next(iter(example.chairs.items()))
    pouch = next(iter(of.drawer))
    assert all(name.startswith("tip-") for name in row(beside, f"r/{chair}", pouch))
    assert row(instead, f"r/{chair}", pouch) == [f"photo-{pouch}"]
    assert row(instead, f"drawer/{chair}", pouch) == [f"photo-{pouch}"]


@pytest.mark.parametrize("card", ["map", "pouch-guide"])
def test_a_pouchs_photo_stands_by_its_name(beside: Cards, card: str) -> None:
    cells = [c for b in beside[card].blocks if isinstance(b, Matrix) for r in b.rows for c in r]
    photos = [c for c in cells if isinstance(c, Cell) and c.picture and c.picture.format == "jpeg"]
    assert "Detailing pouch" in [c.text for c in photos]


def test_every_photo_has_words_for_who_does_not_see_it(beside: Cards, instead: Cards) -> None:
    for cards in (beside, instead):
        shown = [p for card in cards.values() for item in items(card) for p in item.pictures if p.format == "jpeg"]
        shown += [b.picture for c in cards.values() for b in c.blocks if isinstance(b, Illustration)]
        assert any(p.format == "jpeg" for p in shown)
        assert all(p.alt.startswith("Photo of ") for p in shown if p.format == "jpeg")


def test_another_photo_is_another_edition(make: Make, beside: Cards, instead: Cards) -> None:
    assert make("instead")["s/core"].edition == instead["s/core"].edition
    assert beside["s/core"].edition != instead["s/core"].edition


def test_the_folder_of_photos_is_not_needed(example: Practice, example_handbooks: tuple[Handbook, ...]) -> None:
    assert not example.photos and not Path(example.folder, "photos").exists()
    pictures = [p for card in example_handbooks[0].cards for item in items(card) for p in item.pictures]
    assert pictures and all(p.format == "svg" for p in pictures)
