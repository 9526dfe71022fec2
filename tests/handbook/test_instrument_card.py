"""Instruments by picture: for whoever holds an instrument and knows no name, and for whoever chooses a drawing."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

import pytest

from kitdocs import Plan, Practice
from kitdocs.document.blocks import Item, Items
from kitdocs.document.card import Card, Handbook
from kitdocs.document.catalog import built_in_catalog
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.instruments import drawings_catalogue, instrument_card
from kitdocs.practice.kinds import FAMILIES, DrawingKind
from kitdocs.practice.model import InstrumentSet, Pouch


def rows(card: Card) -> list[Item]:
    return [item for block in card.blocks if isinstance(block, Items) for item in block.items]


def where(item: Item) -> str:
    return "".join(span.text for span in item.where)


def english_name(of: InstrumentSet | Pouch) -> str:
    return of.name.in_language("en")


@pytest.fixture(scope="module")
def card(english: Handbook) -> Card:
    return english.card("instruments")


def test_every_instrument_of_the_practice_stands_once_with_end_and_whole(card: Card, example: Practice) -> None:
    found = rows(card)
    assert sorted(item.id for item in found) == sorted(example.instruments)
    for item in found:
        of = example.instruments[item.id]
        own = example.drawings.get(item.id)
        assert item.pictures[0].name == (f"own-{item.id}-{own.digest}" if own else f"tip-{of.drawing}")
        assert item.whole is not None
        assert (item.whole.width_mm, item.whole.height_mm) == (of.length, of.width), "natural size is true size"
        assert f"{of.length:.0f} mm" in item.detail


def test_where_an_instrument_belongs_is_said_by_name_and_code_and_linked(
    card: Card, english: Handbook, example: Practice
) -> None:
    """Worked from the sets and pouches themselves, one by one."""
    known = {each.id for each in english.cards}
    for item in rows(card):
        said, links = where(item), {span.href for span in item.where if span.href}
        in_sets = [set_id for set_id, of in example.sets.items() if item.id in of.contents]
        if len(in_sets) == len(example.sets):
            assert "Every set" in said
        else:
            for set_id in in_sets:
                assert f"{english_name(example.sets[set_id])} {example.sets[set_id].code}" in said
                assert f"#s/{set_id}" in links
        for of in example.pouches.values():
            assert (f"{english_name(of)} {of.code} (" in said) is (item.id in of.contents)
        assert {link[1:] for link in links} <= known


def test_look_alikes_stand_together_shortest_first(card: Card, example: Practice) -> None:
    kinds = [example.instruments[item.id].drawing for item in rows(card)]
    families = [next(f for f, of in FAMILIES.items() if kind in of) for kind in kinds]
    assert families == sorted(families, key=list(FAMILIES).index)
    assert [k for n, k in enumerate(kinds) if k != kinds[n - 1]] == list(dict.fromkeys(kinds))


def test_an_instrument_that_belongs_nowhere_is_not_put_away_by_guess(example: Practice, example_plan: Plan) -> None:
    lonely = replace(example, instruments={**example.instruments, "lonely": example.instruments["mirror"]})
    brief = Brief(practice=lonely, plan=example_plan, words=built_in_catalog("en"))
    row = next(item for item in rows(instrument_card(brief)) if item.id == "lonely")
    assert where(row) == "In no set and no pouch. Ask before you put it away."


def test_it_stands_behind_the_procedure_map_in_every_language(example_handbooks: tuple[Handbook, ...]) -> None:
    for handbook in example_handbooks:
        ids = [card.id for card in handbook.cards]
        assert ids.index("instruments") == ids.index("map") + 1
        card = handbook.card("instruments")
        assert card.in_binder and card.place == "bench" and card.kind == "instruments"


@pytest.mark.parametrize("language", ["en", "es", "de", "fr"])
def test_the_catalogue_has_every_kind_by_the_word_that_a_folder_uses(language: str) -> None:
    book = drawings_catalogue("a4", language)
    (card,) = book.cards
    found = rows(card)
    assert sorted(item.name for item in found) == sorted(get_args(DrawingKind))
    for item in found:
        assert item.pictures and item.whole
        name, _, telling = item.detail.partition(": ")
        assert name and telling, f"{item.name}: a name and what tells it apart"
    assert len({item.detail for item in found}) == len(found)


def test_every_kind_belongs_to_one_family() -> None:
    listed = [kind for kinds in FAMILIES.values() for kind in kinds]
    assert sorted(listed) == sorted(get_args(DrawingKind))


def test_the_words_in_both_languages_say_something_of_their_own() -> None:
    english, spanish = built_in_catalog("en").part("instruments"), built_in_catalog("es").part("instruments")
    assert english.keys() == spanish.keys()
    same = [key for key in english if english[key] == spanish[key] and key != "card.where"]
    assert not same
