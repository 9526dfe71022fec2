"""Every rule is one record: it is printed somewhere, and whatever is printed as an instruction is a rule.

A handbook whose rules read ``⟦id⟧`` shows which sentence of a card is quoted from which record.
"""

from __future__ import annotations

import dataclasses
import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from itertools import cycle
from pathlib import Path
from typing import get_args

import pytest
import yaml
from same_code import same_code

from kitdocs.document.blocks import Caution, Steps
from kitdocs.document.card import Card, Handbook
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.build_handbook import make_handbook
from kitdocs.handbook.cards.audit import source_text
from kitdocs.handbook.rules.quote import RULES
from kitdocs.handbook.rules.rule import DOCUMENTS
from kitdocs.handbook.rules.triggers import TRIGGERS
from kitdocs.planning.plan import Plan
from kitdocs.practice.kinds import AREAS, DrawerAccess
from kitdocs.practice.model import Practice
from kitdocs.practice.room import KeepMoist, Lubrication, MaintenanceTask, Supply, Water
from kitdocs.practice.sentences import shipped_sentences
from kitdocs.practice.values import Period, Text
from kitdocs.shipped import shipped_folder, shipped_languages

MARK = re.compile(r"⟦([\w-]+)⟧")


def marked(practice: Practice) -> Practice:
    """The practice with each rule replaced by its id, and each trigger's question by its own."""
    sentences = {f"rules.{rule}": f"⟦{rule}⟧" for rule in RULES} | {f"rules.when.{t}": f"⟦when-{t}⟧" for t in TRIGGERS}
    return dataclasses.replace(practice, words={"en": sentences})


def plain(practice: Practice) -> Practice:
    """The practice without what it may leave to makers and local rules."""
    room = practice.room.model_copy(update={"lubrication": None, "keep_moist": None, "water": None, "maintenance": {}})
    settings = practice.settings.model_copy(update={"records_kept": None, "expiration": "event"})
    return dataclasses.replace(practice, settings=settings, room=room)


def other(practice: Practice) -> Practice:
    """A practice that does the other thing wherever there are two: fold, date, external indicator."""
    room = practice.room
    supplies = room.supplies.model_copy(update={"outside_indicator": "label"})
    wrap = room.wrap.model_copy(update={"fold": "parcel", "sheets": 2})
    told = Text(plain="what the maker names")
    more = {
        "lubrication": Lubrication(using=told),
        "water": Water(kind="distilled", change=Period(1, "week"), test=Period(1, "month"), limit=told),
        "maintenance": {"seal": MaintenanceTask(name=told, every=Period(1, "year"))},
    }
    room = room.model_copy(update={"supplies": supplies, "wrap": wrap, **more})
    settings = practice.settings.model_copy(update={"expiration": "date", "records_kept": Period(3, "year")})
    first, *_ = practice.instruments
    thrown_away = practice.instruments[first].model_copy(update={"single_use": Supply(pack=10)})
    instruments = {**practice.instruments, first: thrown_away}
    return dataclasses.replace(practice, settings=settings, room=room, instruments=instruments)


def one_way(practice: Practice, access: str, how: str) -> Practice:
    """The practice with one way to reach into drawers and one way to keep instruments moist."""
    settings = practice.settings.model_copy(update={"drawer_access": access})
    moist = KeepMoist.model_validate({"how": how, "using": "water"})
    room = practice.room.model_copy(update={"keep_moist": moist})
    return dataclasses.replace(practice, settings=settings, room=room)


@pytest.fixture(scope="module")
def marked_handbooks(example: Practice, example_plan: Plan) -> tuple[Handbook, ...]:
    """The example, and practices that do everything else that a practice can do."""
    ways = zip(get_args(DrawerAccess), cycle(("spray", "soak", "cover")), strict=False)
    practices = [plain(example), *(one_way(other(example), access, how) for access, how in ways)]
    with same_code():
        return tuple(make_handbook(marked(practice), example_plan) for practice in practices)


def instructions(card: Card) -> Iterator[str]:
    """What a card tells people to do: its steps and its cautions. A question of the self-test is no instruction."""
    for block in card.blocks:
        if isinstance(block, Steps):
            yield from (step.text for step in block.steps if not step.choices)
        elif isinstance(block, Caution):
            yield block.text


def texts(thing: object) -> Iterator[str]:
    """Every text of a block in the order in which it is read, its title first; nobody reads how a search finds it."""
    if isinstance(thing, str):
        yield thing
    elif isinstance(thing, tuple):
        for part in thing:
            yield from texts(part)
    elif dataclasses.is_dataclass(thing):
        names = sorted((field.name for field in dataclasses.fields(thing)), key=lambda name: name != "title")
        for name in names:
            if name not in ("trigger", "heard"):
                yield from texts(getattr(thing, name))


def quoted(handbooks: tuple[Handbook, ...]) -> Mapping[str, set[str]]:
    """By rule, the ids of the cards that quote it."""
    found: defaultdict[str, set[str]] = defaultdict(set)
    for handbook in handbooks:
        for card in handbook.cards:
            if card.kind != "care":
                for text in texts(card.blocks):
                    for rule in MARK.findall(text):
                        found[rule].add(card.id)
        for sheet in handbook.labels:
            for rule in MARK.findall(" ".join(sheet.notes)):
                found[rule].add("labels")
    return found


def test_every_rule_has_a_sentence_in_every_language_and_every_sentence_a_rule() -> None:
    folder = shipped_folder("site_templates") / "words"
    for language in shipped_languages():
        sentences = yaml.safe_load((folder / language / "rules.yaml").read_text("utf-8"))
        assert {key for key in sentences if key not in ("when", "care")} == set(RULES)
        assert set(sentences["when"]) == set(TRIGGERS)


def test_every_rule_is_printed_on_a_card(marked_handbooks: tuple[Handbook, ...]) -> None:
    assert set(RULES) - set(quoted(marked_handbooks)) == set()


def test_every_instruction_is_quoted_from_a_rule(marked_handbooks: tuple[Handbook, ...]) -> None:
    stations = [shipped_sentences("en")[f"card.area.{area}.name"] for area in AREAS]
    read = 0
    for handbook in marked_handbooks:
        for card in handbook.cards:
            for text in instructions(card):
                read += 1
                left = MARK.sub("", text)
                for station in stations:
                    left = left.removeprefix(station)
                assert not left.strip(), (card.id, text)
    assert read > 300


def test_every_card_that_mentions_a_trigger_begins_with_the_same_step(marked_handbooks: tuple[Handbook, ...]) -> None:
    """Where a trigger's question stands, its first step follows at once, on every card, log and page."""
    met: defaultdict[str, set[str]] = defaultdict(set)
    for handbook in marked_handbooks:
        for card in handbook.cards:
            said = "".join(text for text in texts(card.blocks) if MARK.search(text))
            marks = MARK.findall(said)
            for at, mark in enumerate(marks):
                if mark.startswith("when-"):
                    following = [m for m in marks[at + 1 :] if not m.startswith("when-")]
                    met[mark].add(following[0])
    assert {mark.removeprefix("when-") for mark in met} == set(TRIGGERS)
    for trigger in TRIGGERS.values():
        assert met[f"when-{trigger.id}"] == {trigger.first}


def test_every_source_names_a_known_document_and_a_passage() -> None:
    cited = [source for rule in RULES.values() for source in rule.sources]
    assert {source.document for source in cited} == set(DOCUMENTS)
    assert all(source.passage for source in cited)


@pytest.mark.usefixtures("codes_alike")
def test_a_practice_replaces_a_rule_everywhere_at_once(example: Practice, example_plan: Plan) -> None:
    own = dataclasses.replace(example, words={"en": {"rules.reject": "Put it into the red box."}})
    handbook = make_handbook(own, example_plan)
    new = "Put it into the red box."
    cards = {card.id for card in handbook.cards if any(new in text for text in texts(card.blocks))}
    assert {"first-day", "mishaps", "storage-map", "r/chair-1", "drawer/chair-1", "forms/load-log", "care"} <= cards
    brief = Brief(practice=own, plan=example_plan, words=handbook.words)
    assert source_text(brief, RULES["reject"]) == "our own rule"
    assert source_text(brief, RULES["find-leak"]) == "common practice, no source"
    assert source_text(brief, RULES["spore-weekly"]).startswith("CDC 2003, VI.F.6 (quoted by others)")


def test_the_list_of_sources_has_a_line_for_every_rule() -> None:
    text = (Path(__file__).parent.parent / "SOURCES.md").read_text("utf-8")
    table = text.split("### Rules of the work")[1].split("\n## ")[0]
    listed = dict(re.findall(r"^\| `([\w-]+)` \| (.+) \|$", table, re.MULTILINE))
    assert listed == {
        rule.id: "; ".join(f"{source.document}, {source.passage} ({source.how})" for source in rule.sources)
        or "common practice, no source"
        for rule in RULES.values()
    }


def test_a_page_quotes_a_rule_in_its_own_language(example_handbooks: tuple[Handbook, ...]) -> None:
    for handbook in example_handbooks:
        said = " ".join(texts(handbook.card("pages/house-rules").blocks))
        assert "{rule" not in said and "{when" not in said
        for key in ("rules.wipe-cement", "rules.when.internal-unchanged", "rules.internal-stop"):
            assert handbook.words(key) in said


#: Words by which a text mentions a trigger.
MENTIONS = {
    "en": r"\b(wet|torn|damp|dropped|dull|damaged|bent|unchanged|not changed|positive)\b",
    "es": r"\b(mojad[oa]s?|rot[oa]s?|húmed[oa]s?|cayó|filo|dañad[oa]s?|doblad[oa]s?|no cambió|positiva)\b",
}
#: Questions, titles, column heads, labels and figures, which tell nobody what to do.
TELL_NOTHING = (
    "move.ask.",
    "move.week.",
    "card.guide.",
    "card.code.",
    "labels.",
    "forms.",
    "repair.",
    "figures.",
    "lookup.",
    "survey.",
)


def test_no_text_outside_the_records_says_what_to_do_about_a_trigger(example_handbooks: tuple[Handbook, ...]) -> None:
    """Whatever a card, a log or a page says beside what it quotes mentions a trigger in titles and questions only."""
    for handbook in example_handbooks:
        rules = {text for key, text in handbook.words.sentences.items() if key.startswith("rules.")}
        filled = re.compile("|".join(re.sub(r"\\{\w+\\}", ".+?", re.escape(text)) for text in rules if "{" in text))
        harmless = [text for key, text in handbook.words.sentences.items() if key.startswith(TELL_NOTHING)]
        worded = [text for text in harmless if re.search(r"[^\W\d]{3}", re.sub(r"{\w+}", "", text))]
        tells_nothing = re.compile("|".join(re.sub(r"\\{\w+\\}", ".*", re.escape(text)) for text in worded))
        longest_first = re.compile("|".join(re.escape(text) for text in sorted(rules, key=len, reverse=True)))
        seen = 0
        for card in (card for card in handbook.cards if card.kind not in ("care", "plan")):
            for text in texts(card.blocks):
                left = filled.sub("", longest_first.sub("", text))
                seen += left != text
                for part in left.split(" · "):
                    mentioned = re.search(MENTIONS[handbook.language], part, re.IGNORECASE)
                    telling = mentioned and not tells_nothing.fullmatch(part.strip())
                    assert not telling, (card.id, part)
        assert seen > 250


def test_every_document_stands_in_the_list_of_sources() -> None:
    text = (Path(__file__).parent.parent / "SOURCES.md").read_text("utf-8")
    rows = {line.split("|")[1].strip() for line in text.splitlines() if line.startswith("| ")}
    assert set(DOCUMENTS) <= rows
