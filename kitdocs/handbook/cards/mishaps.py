"""The card for whoever something goes wrong for: every trigger, and what is done, each step with its symbol."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import groupby
from types import MappingProxyType

from kitdocs.document.blocks import Block, Caution, Heading
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.rules.looked_up import looked_up
from kitdocs.handbook.rules.quote import rule_text
from kitdocs.handbook.rules.rule import Trigger
from kitdocs.handbook.rules.triggers import TRIGGERS

#: Triggers whose steps fill a card of their own, at the spares or at the sterilizers: how many of them stand here, too,
#: and the rule that sends there.
_ELSEWHERE: Mapping[str, tuple[int, str]] = MappingProxyType(
    {"damaged": (2, "damaged-by-card"), "spore-positive": (4, "spore-by-card")}
)

#: What stands in the first step of a trigger on this card, which holds the other one, too.
_FIRST: Mapping[str, tuple[str, ...]] = MappingProxyType({"bad-pack": ("tip-out", "just-out")})

#: Questions that are asked at the spares or at a drawer, where nothing went wrong yet.
_ASKED_THERE = ("no-spare", "opened", "unopened")


def mishaps(brief: Brief) -> Card:
    """Return what is done when something goes wrong, trigger by trigger."""
    return Card(
        id="mishaps",
        kind="mishaps",
        title=brief.words("card.mishaps.title"),
        subtitle=brief.words("card.mishaps.subtitle"),
        section=brief.words("card.section.wrong"),
        hangs=brief.words("card.hangs.mishaps"),
        place="entrance",
        copies=1 + len(brief.practice.chairs),
        front=(Caution(text=rule_text(brief, "mishaps-defer")), *_blocks(brief)),
    )


def _blocks(brief: Brief) -> Iterator[Block]:
    """Yield every trigger with its steps, under its question, group by group; another card goes on with some."""
    asked = [t for t in TRIGGERS.values() if t.applies(brief.practice) and t.id not in _ASKED_THERE]
    for group, triggers in groupby(asked, key=lambda trigger: trigger.group):
        yield Heading(text=brief.words(f"card.mishaps.group.{group}"), level=1)
        for trigger in triggers:
            yield looked_up(brief, on_the_card(trigger))


def on_the_card(trigger: Trigger) -> Trigger:
    """Return a trigger as it stands on this card."""
    most, card = _ELSEWHERE.get(trigger.id, (len(trigger.steps), ""))
    first, *steps = trigger.steps[:most]
    return trigger.with_steps((*first, *_FIRST.get(trigger.id, ())), *steps, *([(card,)] if card else []))
