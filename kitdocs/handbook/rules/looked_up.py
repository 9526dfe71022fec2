"""Steps of a trigger as they are looked up when something went wrong: each with a symbol of what is done."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from types import MappingProxyType

from kitdocs.document.blocks import Step, Steps
from kitdocs.drawings.symbols import Symbol, symbol
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.pictures import drawn
from kitdocs.handbook.rules.quote import pictured_step, rule_text, trigger_title
from kitdocs.handbook.rules.rule import Trigger
from kitdocs.handbook.rules.triggers import TRIGGERS

#: By symbol, the rules that it stands beside: a step has that of the first of its rules.
_SHOWN: Mapping[Symbol, tuple[str, ...]] = MappingProxyType(
    {
        "stop": ("hurt-stop", "stopped-leave"),
        "wash": ("hurt-wash", "burn-cool", "spill-skin", "aluminium-rinse"),
        "eye": ("spill-eye",),
        "tell": (
            "hurt-tell",
            "hurt-note",
            "tell-lead",
            "tell-if-held",
            "tell-reprocessing",
            "tell-room",
            "down-tell",
            "washer-down",
            "wire-tell",
        ),
        "doctor": ("burn-help", "spill-doctor", "hurt-doctor", "internal-patient", "missing-doctor", "broken-one"),
        "write": ("damaged-by-card", "spore-by-card", "missing-close"),
        "never-use": ("reject", "load-stop", "wash-test-stop", "fallen"),
        "other": ("internal-stop", "fallen-other", "down-other", "washer-other"),
        "carry": (
            "to-receiving",
            "dropped-doubt",
            "label-unknown",
            "internal-used",
            "wet-one",
            "extra-clean",
            "dirty-back",
            "none-carry",
        ),
        "repack": ("redo", "load-redo"),
        "again": ("dirty-again", "aluminium-again", "wash-test-again", "air-again", "none-cycle"),
        "look": ("find-leak", "dropped-look", "missing-look", "aluminium-look"),
        "hold": ("hold-if-several", "hold-load", "hold-means", "spore-hold", "spore-implants", "late-implants"),
        "keep": ("external-decided",),
        "ask": ("dropped-local", "none-unwrapped", "wash-test-stored"),
        "record": ("none-check", "stopped-manual"),
        "hot": ("load-open",),
        "spore": ("late-test", "control-repeat"),
        "sign": ("spore-out", "air-stop", "down-sign", "load-wait"),
        "wait": ("down-never", "none-wait"),
        "gloves": ("spill-gloves", "gloves-on", "washer-by-hand", "locked-open"),
        "tag": ("damaged-note",),
        "tongs": ("wire-tongs", "broken-parts", "aluminium-out", "locked", "spill-glass"),
        "picture": ("extra-home",),
        "moist": ("stopped-wait", "dirty-wait", "aluminium-bath", "broken-basket"),
        "wipe": ("spill-chemical", "spill-wipe", "spill-blood"),
        "spare": ("missing-spare",),
    }
)
SYMBOL_OF: Mapping[str, Symbol] = MappingProxyType({rule: name for name, rules in _SHOWN.items() for rule in rules})

#: By rule, the page on which it is done.
_DONE_ON: Mapping[str, str] = MappingProxyType({"extra-home": "by-picture"})


def looked_up(brief: Brief, trigger: Trigger) -> Steps:
    """Return what is done for a trigger, found by its question and by what people say when it happens."""
    steps = tuple(_pictured(brief, trigger))
    return Steps(
        title=trigger_title(brief, trigger.id),
        steps=steps,
        numbered=len(steps) > 1,
        also=rule_text(brief, *trigger.also),
        done=rule_text(brief, trigger.done),
        trigger=trigger.id,
        heard=brief.words(f"heard.{trigger.id}"),
    )


def _pictured(brief: Brief, trigger: Trigger) -> Iterable[Step]:
    for rules in trigger.steps:
        if rule_text(brief, *rules):
            name = SYMBOL_OF[rules[0]]
            step = pictured_step(brief, drawn(f"symbol-{name}", symbol(name)), *rules)
            yield replace(step, link=_DONE_ON.get(rules[0], ""))


def hurt_first(brief: Brief) -> Steps:
    """Return what everybody does first when somebody is hurt, and where the rest stands."""
    trigger = TRIGGERS["hurt"]
    steps = tuple(_pictured(brief, trigger.with_steps(*trigger.steps[:4])))
    return Steps(title=trigger_title(brief, trigger.id), steps=steps, also=rule_text(brief, "mishaps-by-card"))
