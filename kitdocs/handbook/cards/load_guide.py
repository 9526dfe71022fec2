"""The guides beside machines: what fits in one load, drawn, and how it is loaded and unloaded."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.document.blocks import Block, Caution, Steps
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.load_pictures import load_charts
from kitdocs.handbook.cards.packing import hazard_caution, open_rules
from kitdocs.handbook.layout import facts
from kitdocs.handbook.rules.conditions import packs_implants
from kitdocs.handbook.rules.quote import rule_steps, rule_text, trigger_line
from kitdocs.planning.measures.loads import LoadGuide


def load_guides(brief: Brief) -> Iterator[Card]:
    """Yield what fits in one load, a card for each machine, to hang beside it; kitdocs does not validate a cycle."""
    words = brief.words
    for guide in brief.plan.load_guides:
        stage = brief.practice.room.stages[guide.stage]
        machine = brief.say(stage.name)
        steam = stage.area == "sterilization"
        caution, rules = _sterilizer_rules(brief, guide.stage) if steam else _washer_rules(brief)
        yield Card(
            id=f"load/{guide.stage}",
            kind="load-guide",
            title=words("card.load.title", machine=machine),
            section=words("card.section.room"),
            hangs=words("card.hangs.machine", machine=machine),
            place="machine",
            area=stage.area,
            pairs=True,
            front=(caution, *_one_load(brief, guide, packed=steam), rules),
        )


def _sterilizer_rules(brief: Brief, stage: str) -> tuple[Caution, Steps]:
    """Return what burns at a sterilizer, first, and how it is loaded and unloaded."""
    tested = ("air-test",) if stage in brief.practice.room.vacuum_sterilizers else ()
    implants = ("implant-load",) if packs_implants(brief.practice) else ()
    rules = rule_steps(
        brief,
        brief.words("card.load.rules"),
        (*tested, *implants, ("label-load", "label-expiry"), "load-loosely", ("dry-closed", "rack-out", "cool-first")),
        f"{rule_text(brief, 'read-external', 'release')} {trigger_line(brief, 'external-unchanged')}",
        trigger_line(brief, "reading-missed", 1),
        trigger_line(brief, "wet-load"),
        numbered=False,
    )
    return hazard_caution(brief, "heat", "sterilizer-burns"), rules


def _washer_rules(brief: Brief) -> tuple[Caution, Steps]:
    """Return what cuts and burns at a washer, first, and how it is loaded and unloaded."""
    opened = open_rules(brief, brief.practice.instruments)
    rules = rule_steps(
        brief,
        brief.words("card.load.rules"),
        (
            (*opened, "each-set-seen", "paper-out", "wash-rack", "container-too"),
            ("wash-basket", "no-aluminium", "handpiece-care"),
            ("unload-clean", "lubricate", "lubricate-with"),
        ),
        trigger_line(brief, "washer-stopped"),
        numbered=False,
    )
    return hazard_caution(brief, "used", "protect", "gloves-look", "no-feel", "washer-burns", "spill-eye"), rules


def _one_load(brief: Brief, guide: LoadGuide, *, packed: bool) -> Iterator[Block]:
    """Yield how much one load holds, as pictures, and what stays out."""
    if guide.points:
        yield from load_charts(brief, guide, packed=packed)
    if kept_out := list(_kept_out(brief, guide.stage)):
        yield facts(*kept_out)


def _kept_out(brief: Brief, stage: str) -> Iterator[tuple[str, str]]:
    """Yield which instruments do not go through a stage, or which ones alone do."""
    instruments = brief.practice.instruments
    skipping = [brief.instrument(id_) for id_, record in instruments.items() if stage in record.skips]
    if brief.practice.room.stages[stage].only_listed:
        listed = [brief.instrument(id_) for id_, record in instruments.items() if stage in record.also]
        yield brief.words("card.load.only-here"), " · ".join(listed)
    elif skipping:
        yield brief.words("card.load.not-here"), " · ".join(skipping)
