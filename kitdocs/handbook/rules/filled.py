"""Values that a practice fills the sentences of rules with: where its spares are, what it oils joints with."""

from __future__ import annotations

from collections.abc import Mapping

from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.spares import spares_place
from kitdocs.practice.values import Period


def rule_values(brief: Brief) -> Mapping[str, str]:
    """Return every value by the name of its placeholder; empty where the practice states none."""
    words, room, settings = brief.words, brief.practice.room, brief.practice.settings
    water = room.water
    return {
        "where": spares_place(brief),
        "strips": words.count("card.fact.strips", room.wrap.strips),
        "spore_card": words("card.guide.spore-test"),
        "moist": brief.say(room.keep_moist.using) if room.keep_moist else "",
        "oil": brief.say(room.lubrication.using) if room.lubrication else "",
        "kept": _long(brief, settings.records_kept),
        "water": words(f"card.water.{water.kind}") if water else "",
        "change": every(brief, water.change) if water and water.change else "",
        "test": every(brief, water.test) if water and water.test else "",
        "limit": brief.say(water.limit) if water and water.limit else "",
    }


def every(brief: Brief, period: Period) -> str:
    """Return how often something is due: ``every 3 months``."""
    return brief.words.count(f"card.every.{period.unit}", period.number)


def _long(brief: Brief, period: Period | None) -> str:
    return brief.words.count(f"card.period.{period.unit}", period.number) if period else ""
