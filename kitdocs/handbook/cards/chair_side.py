"""The card at every chair: how a pack is opened and closed there, and what to do at once when something is wrong."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType

from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.first_day import whom_to_ask
from kitdocs.handbook.cards.packing import hurt_caution, open_rules
from kitdocs.handbook.layout import steps
from kitdocs.handbook.rules.conditions import keeps_drawers, packs_pouches
from kitdocs.handbook.rules.quote import DRAWER_ACCESS, KEEP_MOIST, rule_text, trigger_line

#: What can go wrong at a chair, and how many of its steps are done there.
_MISHAPS: Mapping[str, int] = MappingProxyType(
    {
        "bad-pack": 2,
        "external-unchanged": 2,
        "internal-unchanged": 2,
        "broken": 2,
        "missing": 2,
    }
)


def chair_side(brief: Brief) -> Card:
    """Return the one sheet for everybody who works at a chair."""
    words = brief.words
    wrong = [f"{trigger_line(brief, *each)} {_also(brief, each[0])}".strip() for each in _MISHAPS.items()]
    return Card(
        id="chair-side",
        kind="chair-side",
        title=words("card.chair-side.title"),
        subtitle=words("card.chair-side.subtitle"),
        section=words("card.section.start"),
        hangs=words("card.hangs.chair"),
        place="chair",
        copies=len(brief.practice.chairs),
        pairs=True,
        front=(
            hurt_caution(brief),
            steps(words("card.chair-side.open"), _opening(brief)),
            steps(words("card.chair-side.wrong"), (*wrong, rule_text(brief, "mishaps-by-card")), numbered=False),
            steps(words("card.chair-side.close"), _closing(brief)),
            *whom_to_ask(brief),
        ),
    )


#: What is done at a chair beside a trigger's first steps.
_ALSO: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "external-unchanged": ("take-other",),  # None of the load that is held.
        "missing": ("missing-close", "tell-room"),
    }
)


def _also(brief: Brief, trigger: str) -> str:
    return rule_text(brief, *_ALSO.get(trigger, ()))


def _opening(brief: Brief) -> Iterator[str]:
    """Yield what is done before anything in a pack is used, and how something is taken from the drawer later."""
    if keeps_drawers(brief.practice):
        yield rule_text(brief, "drawer-first")
    yield rule_text(brief, "look-pack", "look-date")
    yield rule_text(brief, "open-hands", "read-internal")
    yield rule_text(brief, "keep-label")
    if keeps_drawers(brief.practice):
        yield rule_text(brief, *DRAWER_ACCESS, "drawer-never")


def _closing(brief: Brief) -> Iterator[str]:
    """Yield, in the order of the work, what is done before used instruments leave the chair."""
    yield rule_text(brief, "no-recap", "sharps-out", "sharps-container")
    yield rule_text(brief, "flush-lines", "bur-out", "single-use")
    yield rule_text(brief, "wipe-cement")
    yield rule_text(brief, "back-in-place", *open_rules(brief, brief.practice.instruments))
    if packs_pouches(brief.practice):
        yield trigger_line(brief, "opened")
    yield rule_text(brief, *KEEP_MOIST, "carry-covered", "hands-after")
