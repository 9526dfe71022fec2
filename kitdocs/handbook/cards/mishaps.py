"""The card for whoever something goes wrong for: every trigger, and what is done, step by step."""

from __future__ import annotations

from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.rules.mishaps import TRIGGERS
from kitdocs.handbook.rules.quote import trigger_steps

#: Triggers whose steps fill a card of their own: the one at the spares, the one at the sterilizers.
_ELSEWHERE = ("damaged", "no-spare", "spore-positive")


def mishaps(brief: Brief) -> Card:
    """Return what is done when something goes wrong, trigger by trigger."""
    triggers = (trigger for trigger in TRIGGERS.values() if trigger.applies(brief.practice))
    return Card(
        id="mishaps",
        kind="mishaps",
        title=brief.words("card.mishaps.title"),
        subtitle=brief.words("card.mishaps.subtitle"),
        section=brief.words("card.section.start"),
        hangs=brief.words("card.hangs.entrance"),
        place="entrance",
        front=tuple(trigger_steps(brief, trigger.id) for trigger in triggers if trigger.id not in _ELSEWHERE),
    )
