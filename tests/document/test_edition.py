"""A card's edition is a short code of what a person reads on it, the same on every machine and every day."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import unicodedata
from dataclasses import field, fields, is_dataclass, make_dataclass, replace
from pathlib import Path
from typing import Any

import pytest
import yaml

from kitdocs.document.blocks import Band, Code, Item, Items, Paragraph, Picture, Prose, Span
from kitdocs.document.card import Card, Handbook
from kitdocs.document.edition import ALPHABET, edition_of, with_edition
from kitdocs.document.purpose import Seen
from kitdocs.handbook.build_handbook import make_handbook, make_handbooks
from kitdocs.planning.plan import Plan, make_plan
from kitdocs.practice.model import Practice
from kitdocs.practice.reading.reader import read_practice

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


def test_what_comes_next_and_where_words_lead_are_not_on_the_card() -> None:
    assert edition(replace(CARD, next="r/blue")) == edition(CARD)
    assert edition(with_item(link="instruments", id="other-id")) == edition(CARD)


def test_a_card_that_belongs_elsewhere_is_another_edition_because_somebody_has_to_move_it() -> None:
    assert edition(replace(CARD, hangs="At the packing bench")) != edition(CARD)


def test_a_block_may_be_given_a_new_field_without_a_new_edition_of_every_card() -> None:
    """A kitdocs to come: the same blocks with one field more, which has its default on the cards of today."""
    for default in (False, 0, "", (), 1, "upright", None):
        tip = later(Picture, default)(name=TIP.name, data=TIP.data, width_mm=18, height_mm=22)
        item = later(Item, default)(id="ties", name="Ties pouch", count=2, pictures=(tip,))
        items = later(Items, default)(items=(item,))
        band = later(Band, default)(word="teal", name="Chair 2", colour="#00766c")
        assert edition(replace(CARD, front=(band, items))) == edition(CARD), default
        assert edition(replace(CARD, front=(band, replace(items, coming="seen")))) != edition(CARD)


def later(block: type[Any], default: object) -> Any:
    new: list[Any] = [("coming", Seen[Any], field(default=default))]
    return make_dataclass(block.__name__, new, bases=(block,), kw_only=True, frozen=True)


def test_white_space_and_the_encoding_of_a_letter_are_not_seen() -> None:
    composed, decomposed = (unicodedata.normalize(form, "Sillón 1") for form in ("NFC", "NFD"))
    assert composed != decomposed
    assert edition(with_item(name=f" {decomposed} ")) == edition(with_item(name=composed))
    assert edition(with_item(name=composed.replace(" ", "\n"))) == edition(with_item(name=composed))
    assert edition(spoken("to ", "day")) != edition(spoken("to", "day")), "between two runs of words a space is seen"


def spoken(*words: str) -> Card:
    return replace(CARD, front=(Prose(parts=(Paragraph(spans=tuple(Span(text=text) for text in words)),)),))


def test_every_field_that_a_person_sees_counts() -> None:
    """Each field of an item in turn is given another value; only what nobody reads leaves the edition alone."""
    seen = {"name": "Tie", "detail": "TIES", "note": "arches", "count": 3, "number": 4, "layer": 2, "pictures": ()}
    seen |= {"whole": TIP, "where": (Span(text="in the core set"),), "stands": "A1"}
    unseen = {"id": "tie", "link": "map"}
    assert {*seen, *unseen} == {f.name for f in fields(Item)}
    same = {name for name, other in (seen | unseen).items() if edition(with_item(**{name: other})) == edition(CARD)}
    assert same == set(unseen)


def test_a_finished_card_has_the_edition_of_what_stands_on_it(example_handbooks: tuple[Handbook, ...]) -> None:
    """The code on a card carries the edition; the edition is still that of the rest."""
    for handbook in example_handbooks:
        assert {card.id for card in handbook.cards if card.edition != edition(card)} == set()


@pytest.mark.usefixtures("codes_alike")
def test_the_edition_of_a_card_does_not_depend_on_the_other_cards(
    english: Handbook, example: Practice, example_plan: Plan
) -> None:
    fewer = make_handbook(replace(example, pages=()), example_plan)
    assert len(fewer.cards) < len(english.cards)
    differ = {card.id for card in fewer.cards if card.edition != english.card(card.id).edition}
    assert differ == {"current"}, "only the list of all cards tells of the others"


#: Where pyenv and the system put interpreters that kitdocs supports.
PYTHONS = sorted(
    {
        *Path.home().glob(".pyenv/versions/3.1[0-3].*/bin/python3"),
        *(Path(found) for n in range(10, 14) if (found := shutil.which(f"python3.{n}")) and "shims" not in found),
    }
)

EDITIONS = """
from kitdocs import make_handbooks, make_plan, read_practice
practice = read_practice('example_practice')
for handbook in make_handbooks(practice, make_plan(practice, days=5)):
    for card in handbook.cards:
        print(handbook.language, card.id, card.edition)
"""


@pytest.fixture(scope="module")
def editions_here() -> str:
    said = editions_of(sys.executable, PYTHONHASHSEED="1", TZ="UTC", LC_ALL="C.UTF-8")
    assert len(said.splitlines()) > 100
    return said


def editions_of(python: Path | str, **environment: str) -> str:
    setting = {**os.environ, "PYTHONIOENCODING": "utf-8", **environment}
    done = subprocess.run([python, "-c", EDITIONS], cwd=ROOT, env=setting, capture_output=True, text=True, check=True)
    return done.stdout


@pytest.mark.whole
def test_neither_hash_seed_nor_time_zone_nor_locale_makes_another_edition(editions_here: str) -> None:
    elsewhere = editions_of(sys.executable, PYTHONHASHSEED="2", TZ="Pacific/Kiritimati", LC_ALL="C")
    assert elsewhere == editions_here


@pytest.mark.whole
def test_neither_the_layout_of_the_files_nor_where_they_are_makes_another_edition(
    tmp_path: Path, example: Practice
) -> None:
    """PyYAML writes the files anew: quotes, narrow lines, no comments, Windows line ends, every flat mapping reversed.

    The order of records and of lists is kept: it is the order of the binder and of what lies in a cassette.
    """
    folder = Path(shutil.copytree(example.folder, tmp_path / "another place"))
    for file in folder.glob("*.yaml"):
        whole: Any = yaml.compose(file.read_text("utf-8"), Loader=yaml.BaseLoader)
        written_otherwise(whole, top=True)
        text = yaml.serialize(whole, Dumper=yaml.BaseDumper, width=40, allow_unicode=True)
        file.write_bytes(text.replace("\n", "\r\n").encode())
    before, after = (
        {
            (book.language, card.id): card.edition
            for book in make_handbooks(of, make_plan(of, days=5))
            for card in book.cards
        }
        for of in (example, read_practice(folder))
    )
    assert after == before


def written_otherwise(node: Any, top: bool = False) -> None:
    node.flow_style = False
    if isinstance(node, yaml.MappingNode):
        if not top and all(isinstance(value, yaml.ScalarNode) for _, value in node.value):
            node.value.reverse()
        for _, value in node.value:
            written_otherwise(value)
    elif isinstance(node, yaml.SequenceNode):
        for value in node.value:
            written_otherwise(value)
    else:
        node.style = None if re.fullmatch(r"[\d.]+", node.value) else '"'


@pytest.mark.whole
@pytest.mark.parametrize("python", PYTHONS, ids=str)
def test_every_other_python_that_can_run_kitdocs_gives_the_same_editions(python: Path, editions_here: str) -> None:
    if subprocess.run([python, "-c", "import pydantic, yaml, typst, PIL"], capture_output=True, check=False).returncode:
        pytest.skip("this Python lacks the packages that kitdocs needs; the next test asks it as far as it can")
    assert editions_of(python, PYTHONHASHSEED="3") == editions_here


#: Blocks, content and edition without the rest of kitdocs, which needs packages that the interpreter may lack.
ALONE = """
import dataclasses, json, sys, types
for name in ("kitdocs", "kitdocs.document"):
    sys.modules[name] = types.ModuleType(name)
    sys.modules[name].__path__ = [f"{sys.argv[1]}/{name.replace('.', '/')}"]
from kitdocs.document import blocks
from kitdocs.document.edition import with_edition

def built(part):
    if isinstance(part, list):
        return tuple(map(built, part))
    if isinstance(part, dict):
        return getattr(blocks, part.pop(""))(**{key: built(value) for key, value in part.items()})
    return part

for card in json.load(sys.stdin):
    fields = [*card, ("edition", str, "")]
    kind = dataclasses.make_dataclass("Card", fields)
    print(with_edition(kind(**{key: built(value) for key, value in card.items()})).edition)
"""


@pytest.mark.whole
@pytest.mark.parametrize("python", PYTHONS, ids=str)
def test_every_python_makes_the_same_edition_of_the_same_blocks(
    python: Path, example_handbooks: tuple[Handbook, ...]
) -> None:
    cards = [card for handbook in example_handbooks for card in handbook.cards]
    names = ("id", "title", "subtitle", "section", "hangs", "front", "back")
    given = json.dumps([{name: taken_apart(getattr(card, name)) for name in names} for card in cards])
    done = subprocess.run([python, "-c", ALONE, ROOT], input=given, capture_output=True, text=True, check=True)
    assert done.stdout.split() == [card.edition for card in cards]


def taken_apart(thing: Any) -> Any:
    """A block as JSON; the key '' is its class."""
    if isinstance(thing, tuple):
        return [taken_apart(part) for part in thing]
    if isinstance(thing, bytes) or not is_dataclass(thing):
        return "" if isinstance(thing, bytes) else thing
    return {"": type(thing).__name__, **{f.name: taken_apart(getattr(thing, f.name)) for f in fields(thing)}}
