"""Quotes of rules on cards: as a sentence, as steps, as a caution, filled in with what the practice states.

A rule that does not apply to a practice is left out.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import get_args

from kitdocs.document.blocks import Caution, Picture, Step, Steps
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.spares import spares_place
from kitdocs.handbook.layout import steps
from kitdocs.handbook.rules.mishaps import rules_for_mishaps
from kitdocs.handbook.rules.records import rules_of_the_work
from kitdocs.handbook.rules.rule import Rule
from kitdocs.handbook.rules.triggers import TRIGGERS
from kitdocs.practice.kinds import DrawerAccess
from kitdocs.practice.values import Period

#: How a pouch is taken from the drawer during a visit; the practice has chosen one of them.
DRAWER_ACCESS = tuple(f"drawer-{access}" for access in get_args(DrawerAccess))

#: How used instruments are kept moist; the practice has chosen one way, or leaves it to the cleaner's maker.
KEEP_MOIST = ("keep-moist", *(f"keep-moist-{how}" for how in ("spray", "soak", "cover")), "moist-handpiece")

RULES: Mapping[str, Rule] = MappingProxyType({rule.id: rule for rule in (*rules_of_the_work(), *rules_for_mishaps())})


def sentence(brief: Brief, rule: str) -> str:
    """Return the sentence of a rule, whether it applies to the practice or not."""
    key = f"rules.{rule}"
    return brief.words(key, **(rule_values(brief) if "{" in brief.words.sentences[key] else {}))


def rule_text(brief: Brief, *rules: str) -> str:
    """Return the sentences of `rules`, one after the other; empty when none of them applies to the practice."""
    return " ".join(sentence(brief, rule) for rule in rules if RULES[rule].applies(brief.practice))


def rule_steps(
    brief: Brief, title: str, rules: Iterable[str | tuple[str, ...]], *also: str, numbered: bool = True
) -> Steps:
    """Return a list of steps, each of one or more rules, and `also` others in words."""
    groups = ((step,) if isinstance(step, str) else step for step in rules)
    return steps(title, (*(rule_text(brief, *group) for group in groups), *also), numbered=numbered)


def pictured_step(brief: Brief, picture: Picture, *rules: str) -> Step:
    """Return a step with its picture."""
    return Step(text=rule_text(brief, *rules), picture=picture)


def trigger_title(brief: Brief, trigger: str) -> str:
    """Return the question by which a trigger is found: ``Pack dropped?``."""
    return brief.words(f"rules.when.{trigger}")


def trigger_text(brief: Brief, trigger: str, most: int = 2) -> str:
    """Return the first steps of a trigger as one text, `most` of them or as many as may not be left out."""
    found = TRIGGERS[trigger]
    return " ".join(rule_text(brief, *step) for step in found.steps[: max(most, found.least)])


def trigger_line(brief: Brief, trigger: str, most: int = 2) -> str:
    """Return a trigger's question and its first steps as one text."""
    return f"{trigger_title(brief, trigger)} {trigger_text(brief, trigger, most)}"


def trigger_steps(brief: Brief, trigger: str) -> Steps:
    """Return all that is done for a trigger, step by step."""
    done = TRIGGERS[trigger].steps
    return rule_steps(brief, trigger_title(brief, trigger), done, numbered=len(done) > 1)


def trigger_caution(brief: Brief, trigger: str, most: int = 2) -> Caution:
    """Return the first steps of a trigger as a caution."""
    return Caution(title=trigger_title(brief, trigger), text=trigger_text(brief, trigger, most))


def rule_values(brief: Brief) -> Mapping[str, str]:
    """Return every value by the name of its placeholder; empty where the practice states none."""
    words, room, settings = brief.words, brief.practice.room, brief.practice.settings
    water, kept = room.water, settings.records_kept
    return {
        "where": spares_place(brief),
        "strips": words.count("card.fact.strips", room.wrap.strips),
        "spore_card": words("card.guide.spore-test"),
        "repair_card": words("card.guide.repair"),
        "mishaps_card": words("card.mishaps.title"),
        "wet_load": words("rules.when.wet-load"),
        "moist": brief.say(room.keep_moist.using) if room.keep_moist else "",
        "oil": brief.say(room.lubrication.using) if room.lubrication else "",
        "kept": words.count(f"card.period.{kept.unit}", kept.number) if kept else "",
        "water": words(f"card.water.{water.kind}") if water else "",
        "change": every(brief, water.change) if water and water.change else "",
        "test": every(brief, water.test) if water and water.test else "",
        "limit": brief.say(water.limit) if water and water.limit else "",
        "implants": _implants(brief),
    }


def _implants(brief: Brief) -> str:
    """Return the codes of the packs that a load carries a spore test for: `` (AK)``; nothing when there are none."""
    practice = brief.practice
    sets = [record.code for id_, record in practice.sets.items() if practice.is_implant_related(id_)]
    pouches = [record.code for id_, record in practice.pouches.items() if practice.is_implant_related(id_)]
    return f" ({', '.join([*sets, *pouches])})" if sets or pouches else ""


def every(brief: Brief, period: Period) -> str:
    """Return how often something is due: ``every 3 months``."""
    return brief.words.count(f"card.every.{period.unit}", period.number)
