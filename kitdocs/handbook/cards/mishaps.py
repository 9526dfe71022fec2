"""The card for whoever something goes wrong for: every trigger, and what is done, step by step."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType

from kitdocs.document.blocks import Block
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.rules.mishaps import TRIGGERS
from kitdocs.handbook.rules.quote import looked_up, trigger_steps

#: Triggers whose steps fill a card of their own, at the spares or at the sterilizers, and the rule that sends there.
_ELSEWHERE: Mapping[str, str] = MappingProxyType({"damaged": "damaged-by-card", "spore-positive": "spore-by-card"})

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
        section=brief.words("card.section.start"),
        hangs=brief.words("card.hangs.mishaps"),
        place="entrance",
        copies=1 + len(brief.practice.chairs),
        front=tuple(_blocks(brief)),
    )


def _blocks(brief: Brief) -> Iterator[Block]:
    """Yield every trigger with its steps, under its question; another card goes on with some."""
    for trigger in TRIGGERS.values():
        if not trigger.applies(brief.practice) or trigger.id in _ASKED_THERE:
            continue
        if trigger.id in _ELSEWHERE:
            most = 2 if trigger.id == "damaged" else 1
            steps = trigger_steps(brief, trigger.id, most=most, last=(_ELSEWHERE[trigger.id],))
        else:
            steps = trigger_steps(brief, trigger.id, first=_FIRST.get(trigger.id, ()))
        yield looked_up(brief, trigger.id, steps)
