"""Blocks parsed back from a print record, an old one included; what cannot be read is reported by its path."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from kitdocs.document.blocks import Block, Chart, FormGrid, Illustration, Item, Items, Picture, Span, Step, Steps
from kitdocs.document.card import Card, Handbook
from kitdocs.document.content import content
from kitdocs.document.edition import with_edition
from kitdocs.document.parse import parse_blocks
from kitdocs.practice.printed import PrintedCard, PrintRun

#: Written by the version of kitdocs before blocks declared the purpose of their fields.
(OLD_RECORD,) = (Path(__file__).parent / "printed").glob("*.yaml")


def parsed(*plain: object) -> tuple[tuple[Block, ...], list[str]]:
    lost: list[str] = []
    return parse_blocks(plain, "front", lost), lost


def old_cards() -> tuple[PrintedCard, ...]:
    return PrintRun.model_validate(yaml.load(OLD_RECORD.read_text("utf-8"), Loader=yaml.BaseLoader)).cards


@pytest.mark.parametrize("old", old_cards(), ids=lambda card: card.card)
def test_an_old_record_is_parsed_without_loss_and_has_its_old_edition(old: PrintedCard) -> None:
    lost: list[str] = []
    front, back = (parse_blocks(getattr(old, side), side, lost) for side in ("front", "back"))
    assert lost == []
    heads = {name: getattr(old, name) for name in ("title", "subtitle", "section", "hangs")}
    card = Card(id=old.card, kind="page", form="sheet", front=front, back=back, **heads)
    assert content(card) == {**heads, "front": list(old.front), "back": list(old.back)}
    assert with_edition(card).edition == old.edition


def test_every_card_of_the_example_is_parsed_as_it_was_recorded(example_handbooks: tuple[Handbook, ...]) -> None:
    for card in (card for handbook in example_handbooks for card in handbook.cards):
        recorded, lost = content(card), []
        again = {side: parse_blocks(recorded[side], side, lost) for side in ("front", "back")}
        made = Card(
            id=card.id, kind=card.kind, form=card.form, title=card.title, subtitle=card.subtitle,
            section=card.section, hangs=card.hangs, front=again["front"], back=again["back"],
        )  # fmt: skip
        assert (content(made), lost) == (recorded, []), card.id


def test_a_part_is_its_words_or_a_mapping() -> None:
    (steps,), lost = parsed({"is": "steps", "steps": ["Fold it.", {"text": "Tape it.", "picture": "tape"}]})
    assert isinstance(steps, Steps) and not lost
    assert [(step.text, step.picture and step.picture.name) for step in steps.steps] == [
        ("Fold it.", None),
        ("Tape it.", "tape"),
    ]


@pytest.mark.parametrize(
    ("plain", "path"),
    [
        ({"is": "hologram", "text": "Hello"}, "front.0"),
        ("no block", "front.0"),
        ({"is": "items", "items": [{"id": "a", "name": "Probe", "weight": 3}]}, "front.0.items.0.weight"),
        ({"is": "items", "items": [{"id": "a", "name": "Probe", "count": "two"}]}, "front.0.items.0.count"),
        ({"is": "items", "items": [{"id": "a", "name": "Probe", "count": True}]}, "front.0.items.0.count"),
        ({"is": "items", "items": {"id": "a"}}, "front.0.items"),
        ({"is": "items", "items": [7]}, "front.0.items.0"),
        ({"is": "form-grid", "columns": ["Date"]}, "front.0.rows"),
        ({"is": "illustration", "caption": "A tray"}, "front.0.picture"),
        ({"is": "illustration", "picture": {"alt": "A tray"}}, "front.0.picture"),
        ({"is": "facts", "facts": ["18 in"]}, "front.0.facts.0.text"),
        ({"is": "chart", "picture": "p", "summary": "s", "table": {"is": "items"}}, "front.0.table"),
    ],
)
def test_what_is_missing_unknown_or_of_another_type_is_reported_by_its_path(plain: Any, path: str) -> None:
    assert parsed(plain)[1] == [path]


def test_the_rest_of_a_damaged_block_is_kept() -> None:
    damaged = {"is": "items", "items": [{"id": "a", "name": "Probe", "count": "two", "where": ["Core set"]}, None]}
    (items,), lost = parsed(damaged, {"is": "hologram"}, {"is": "form-grid", "columns": ["Date"]})[0][:1], []
    assert isinstance(items, Items)
    assert items.items == (Item(id="a", name="Probe", where=(Span(text="Core set"),)),)
    (chart, form), lost = parsed({"is": "chart", "summary": "It rises."}, {"is": "form-grid", "columns": ["Date"]})
    nothing = Picture(name="", data=b"", width_mm=0, height_mm=0)
    assert chart == Chart(picture=nothing, summary="It rises.")
    assert form == FormGrid(columns=("Date",), widths=(), rows=0)
    assert lost == ["front.0.picture", "front.1.rows"]


def test_the_name_and_the_few_words_of_a_picture_are_kept() -> None:
    (illustration,), _ = parsed({"is": "illustration", "picture": {"drawn": "tray", "alt": "A tray"}})
    assert isinstance(illustration, Illustration)
    assert (illustration.picture.name, illustration.picture.alt) == ("tray", "A tray")
    assert Step(text="").picture is None


def test_a_picture_is_recorded_with_its_words_up_to_sixty_letters() -> None:
    for letters, recorded in ((60, {"drawn": "tray", "alt": "x" * 60}), (61, "tray")):
        picture = Picture(name="tray", alt="x" * letters, data=b"", width_mm=1, height_mm=1)
        card = Card(id="x", kind="page", form="sheet", title="", section="", front=(Illustration(picture=picture),))
        assert content(card)["front"] == [{"is": "illustration", "picture": recorded}]
