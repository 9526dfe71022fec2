"""The pages on which things are looked up: they say what the practice and its plan say, and lead there and back."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import get_args

from kitdocs.document.blocks import Fact, Facts, Item, Items, Matrix
from kitdocs.document.card import Card, Handbook
from kitdocs.planning.plan import Plan
from kitdocs.practice.kinds import FAMILIES, DrawingKind
from kitdocs.practice.model import Practice
from kitdocs.practice.numbers import percent
from kitdocs.publish.handbook_folder import cards_json
from kitdocs.publish.site.build_site import editions


def items(card: Card) -> Iterator[Item]:
    for block in card.blocks:
        if isinstance(block, Items):
            yield from block.items


def facts(card: Card) -> dict[str, str]:
    found: list[Fact] = [fact for block in card.blocks if isinstance(block, Facts) for fact in block.facts]
    return {fact.label: fact.value for fact in found}


def test_every_procedure_has_a_page_with_its_set_and_every_pouch_and_how_often(
    english: Handbook, example: Practice, example_plan: Plan
) -> None:
    told = Counter[str]()
    for procedure, of in example.procedures.items():
        card = english.card(f"d/{procedure}")
        rows = {item.id: item for item in items(card)}
        shares = {**of.add_ons, **example_plan.drawer_pouches[procedure]}
        once = {need for need in of.needs if example.instruments[need].single_use}
        assert set(rows) == {of.set, "contents", *shares, *once}
        assert rows[of.set].link == f"s/{of.set}" and rows["contents"].link == f"t/{of.set}"
        assert rows["contents"].name == f"{len(example.sets[of.set].contents)} pieces"
        for pouch, share in shares.items():
            shown = percent("en", share, 4).replace(" %", "\u00a0%")
            often = "At every visit." if share == 1 else f"At {shown} of visits."
            assert rows[pouch].note.startswith(often)
            assert len(rows[pouch].pictures) == len(set(example.pouches[pouch].contents))
            told["every visit" if share == 1 else "some visits"] += 1
    assert told["every visit"] >= 5 and told["some visits"] >= 5


def test_a_procedure_that_takes_no_pouch_says_so(english: Handbook) -> None:
    assert "None. The set is enough." in str(english.card("d/wire-change"))
    assert "Nothing else is needed from the drawer." in str(english.card("d/bonding"))


def test_a_procedure_says_where_it_is_done(english: Handbook) -> None:
    assert facts(english.card("d/repair"))["Where"] == "Chair 3 and Chair 4"
    assert facts(english.card("d/separating"))["Where"] == "At any chair"


def test_the_chooser_leads_to_every_procedure(english: Handbook, example: Practice) -> None:
    assert [item.link for item in items(english.card("procedures"))] == [f"d/{id_}" for id_ in example.procedures]


def test_every_instrument_is_among_the_pictures_once_and_has_its_page(english: Handbook, example: Practice) -> None:
    shown = list(items(english.card("by-picture")))
    assert sorted(item.link for item in shown) == sorted(f"i/{id_}" for id_ in example.instruments)
    assert all(len(item.pictures) == 1 for item in shown)
    for item in shown:
        assert english.card(item.link).title == item.name


def test_every_kind_of_instrument_is_in_one_family() -> None:
    placed = [kind for kinds in FAMILIES.values() for kind in kinds]
    assert sorted(placed) == sorted(get_args(DrawingKind))


def test_an_instruments_page_names_each_place_that_the_templates_give_it(english: Handbook, example: Practice) -> None:
    """Compared with what the set templates show: their numbers stand on the printed cards."""
    by_template: dict[str, dict[str, list[int]]] = {}
    for set_id in example.sets:
        for item in items(english.card(f"t/{set_id}")):
            by_template.setdefault(item.id.partition("-")[2], {}).setdefault(set_id, []).append(item.number or 0)
    for instrument in example.instruments:
        rows = {item.id: item for item in items(english.card(f"i/{instrument}")) if item.link.startswith("t/")}
        assert set(rows) == set(by_template.get(instrument, {}))
        for set_id, numbers in by_template.get(instrument, {}).items():
            said = rows[set_id].detail.split("· ")[1]
            assert said == f"place {numbers[0]}" if len(numbers) == 1 else said.startswith("places ")


def test_an_instruments_page_names_its_pouches_and_the_drawers_that_hold_them(
    english: Handbook, example: Practice
) -> None:
    rows = {item.id: item for item in items(english.card("i/three-prong"))}
    assert set(rows) == {"lingual", "bends", "repair"}
    assert rows["lingual"].link == "p/lingual"
    assert rows["bends"].note == "In the drawers: Chair 1, Chair 2, Chair 3, Chair 4, Chair 5, Chair 6 and Exam room."
    for instrument in example.instruments:
        holding = {id_ for id_, pouch in example.pouches.items() if instrument in pouch.contents}
        assert holding <= {item.id for item in items(english.card(f"i/{instrument}"))}


def test_spares_are_those_of_the_order_list(english: Handbook, example_plan: Plan) -> None:
    for line in example_plan.orders.lines:
        if line.kind == "instrument":
            said = facts(english.card(f"i/{line.id}")).get("Spares", "0")
            assert int(said.split()[0]) == line.spares


def test_what_is_only_looked_up_is_on_no_list_of_printed_cards(example_handbooks: tuple[Handbook, ...]) -> None:
    for handbook in example_handbooks:
        looked_up = {card.id for card in handbook.cards if card.form == "page"}
        assert len(looked_up) > 40
        assert looked_up.isdisjoint(card.id for card in handbook.kept)
        current = {
            row[0].link for block in handbook.card("current").blocks if isinstance(block, Matrix) for row in block.rows
        }
        assert current and looked_up.isdisjoint(current)
        assert not any(card.in_binder for card in handbook.cards if card.id in looked_up)
        for id_ in looked_up:
            assert f'"{id_}"'.encode() not in cards_json(example_handbooks)
            assert f'"{id_}"'.encode() not in editions(example_handbooks)
