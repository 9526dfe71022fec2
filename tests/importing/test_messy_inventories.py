"""Two hundred messy inventories of a grammar of mess, each with what it must become (mess.py)."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path

import pytest
from mess import SECRETS, Mess, messy_inventory

from kitdocs.command.import_answer import brought_json
from kitdocs.importing.bringing import Brought, bring
from kitdocs.importing.folder_changes import changes_of
from kitdocs.importing.found import Known
from kitdocs.importing.names import match_name
from kitdocs.importing.naming import ThingNames
from kitdocs.practice.quantities import length

SEEDS = range(200)


def identities(brought: Brought) -> dict[tuple[str, ...], str]:
    """The ids of the new records by what they stand for."""
    names = ThingNames(Known())
    return {
        names.new(str(record.fields["name"]), match_name(str(record.fields["name"]))): record.id
        for record in brought.found.records
        if record.stem == "instruments"
    }


@pytest.mark.parametrize("seed", SEEDS)
def test_a_messy_inventory_becomes_what_it_must_and_what_is_unclear_is_asked(seed: int, tmp_path: Path) -> None:
    mess = messy_inventory(seed)
    brought = bring([mess.write(tmp_path)], Known())
    assert {kind for _, kind in brought.lists} == {"inventory"}
    becomes_what_it_must(mess, brought)
    asks_what_is_unclear_and_nothing_else(mess, brought)
    says_nothing_of_people(brought)


def becomes_what_it_must(mess: Mess, brought: Brought) -> None:
    ids = identities(brought)
    seen = {identity: thing for identity, thing in mess.things.items() if thing.on_hand}
    assert set(ids) == set(seen)
    stock = {record.id: record.fields["on_hand"] for record in brought.found.records if record.stem == "stock"}
    assert {ids[identity]: thing.on_hand for identity, thing in seen.items()} == stock
    records = {record.id: record for record in brought.found.records if record.stem == "instruments"}
    for identity, thing in seen.items():
        record = records[ids[identity]]
        if "length" not in record.usual:
            assert thing.length and abs(length(record.fields["length"]) - thing.length) <= 2
        if "price" in record.fields:
            assert Decimal(str(record.fields["price"])) == Decimal(thing.price or "")


def asks_what_is_unclear_and_nothing_else(mess: Mess, brought: Brought) -> None:
    asked = {doubt.about for doubt in brought.found.doubts}
    assert asked - {("practice", "name")} == {("names", text) for text in mess.asked}
    told = " | ".join(cells.where for cells in brought.found.unused)
    assert all(text in told for text in (*mess.asked, *mess.left_out))


def says_nothing_of_people(brought: Brought) -> None:
    changes = changes_of(brought.found.records, brought.known)
    said = json.dumps(brought_json(brought, changes, []), default=str, ensure_ascii=False)
    said += "".join(changes.texts(with_changes=True).values())
    assert not [secret for secret in SECRETS if secret in said]


def test_the_grammar_makes_mess_of_every_kind() -> None:
    made = [messy_inventory(seed) for seed in SEEDS]
    assert {mess.form for mess in made} >= {"xlsx", "csv-comma-utf-8-sig", "csv-semicolon-cp1252", "csv-tab-utf-16"}
    assert sum(len(mess.sheets) == 2 for mess in made) > 20
    assert sum(bool(mess.asked) for mess in made) > 50 and sum(bool(mess.left_out) for mess in made) > 50
    cells = [cell for mess in made for rows in mess.sheets.values() for row in rows for cell in row]
    assert sum(cell in SECRETS for cell in cells) > 300
