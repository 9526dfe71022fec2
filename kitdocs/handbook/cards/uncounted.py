"""Things that the rules ask for and that no figure counts: gloves, containers, what a practice sprays and oils with."""

from __future__ import annotations

from kitdocs.handbook.brief import Brief
from kitdocs.handbook.rules.conditions import packs_pouches, washes


def used_up(brief: Brief) -> list[str]:
    """Return what has to be bought again and again."""
    room, settings = brief.practice.room, brief.practice.settings
    named = [stated.using for stated in (room.keep_moist, room.lubrication) if stated]
    water = [brief.words(f"card.water.{room.water.kind}")] if room.water else []
    return [
        *(_thing(brief, name) for name in (["overgloves"] if settings.drawer_access == "overglove" else [])),
        *(brief.say(using) for using in named),
        *water,
        *(_thing(brief, name) for name in ("masks", "exam-gloves", "sharps", "disinfectant", "cleaner")),
        *(_thing(brief, name) for name in (["wash-tests"] if washes(brief.practice) else [])),
        _thing(brief, "pens"),
    ]


def lasting(brief: Brief) -> list[str]:
    """Return what is bought once, and replaced when it is worn."""
    baskets = ["baskets"] if packs_pouches(brief.practice) else []
    return [_thing(brief, name) for name in ("gloves", "heat-gloves", "container", *baskets, "tongs", "eyewash")]


def _thing(brief: Brief, name: str) -> str:
    return brief.words(f"card.uncounted.{name}")
