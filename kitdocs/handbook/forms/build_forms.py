"""The forms to be filled in by hand: the logs of loads, spore tests and repairs. No form asks about a person treated.

Fields: CDC, Guidelines for Infection Control in Dental Health-Care Settings 2003, MMWR 52(RR-17), part VI.F (readings
of every load, weekly spore test with a control of the same lot, indicators); the action after a positive test as the
card on spore tests has it.
"""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.document.blocks import Block, Fact, Facts, FormGrid
from kitdocs.document.card import Card, PostingLocation
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.forms.count_sheet import count_sheet
from kitdocs.handbook.forms.form_card import form_card, form_rules
from kitdocs.handbook.forms.sign_off import training_sign_off
from kitdocs.handbook.rules.filled import every
from kitdocs.handbook.rules.quote import rule_text, trigger_line
from kitdocs.practice.room import MachineStage, MaintenanceTask

#: The columns of each log: a word of forms.yaml and a width, in parts of the whole.
_LOAD = {
    "forms.date": 17, "forms.load-log.load": 14, "forms.load-log.contents": 46, "forms.load-log.type": 22,
    "forms.load-log.time": 16, "forms.load-log.temperature": 16, "forms.load-log.pressure": 17,
    "forms.load-log.external": 19, "forms.load-log.internal": 24, "forms.who": 14, "forms.remarks": 34,
}  # fmt: skip
_SPORE = {
    "forms.date": 18, "forms.spore-log.sterilizer": 24, "forms.spore-log.load": 15, "forms.spore-log.test-lot": 22,
    "forms.spore-log.control-lot": 22, "forms.spore-log.read-on": 18, "forms.spore-log.test": 24,
    "forms.spore-log.control": 24, "forms.spore-log.read-by": 16, "forms.spore-log.action": 34,
    "forms.spore-log.due": 20,
}  # fmt: skip
_REPAIR = {
    "forms.date": 18, "forms.repair-log.instrument": 46, "forms.repair-log.left": 28, "forms.repair-log.fault": 50,
    "forms.repair-log.spare": 18, "forms.repair-log.sent": 36, "forms.repair-log.back": 20, "forms.who": 16,
}  # fmt: skip

_MAINTENANCE = {
    "forms.date": 18, "forms.maintenance-log.machine": 34, "forms.maintenance-log.done": 60,
    "forms.maintenance-log.reading": 24, "forms.maintenance-log.due": 22, "forms.who": 16, "forms.remarks": 50,
}  # fmt: skip

#: Rows that a log has at least; paper has as many as its page holds.
_ROWS = 6


def forms(brief: Brief) -> Iterator[Card]:
    """Yield every form, in the order of the binder."""
    yield load_log(brief)
    yield spore_test_log(brief)
    yield repair_log(brief)
    if brief.practice.room.maintenance or brief.practice.room.water:
        yield maintenance_log(brief)
    yield count_sheet(brief)
    yield training_sign_off(brief)


def load_log(brief: Brief) -> Card:
    """Return the log of readings, indicators and contents of every load; each sterilizer has its own."""
    words = brief.words
    fields = (words("forms.load-log.sterilizer"), words("forms.load-log.begun"))
    stated = tuple(_stated_cycle(brief, stage) for stage in _sterilizers(brief))
    rules = (
        rule_text(brief, "write-load", "write-before", "write-after"),
        trigger_line(brief, "reading-missed", 1),
        trigger_line(brief, "external-unchanged"),
        rule_text(brief, "implant-load"),
        rule_text(brief, "air-test-log", "keep-records", "keep-records-for"),
    )
    return _log(brief, "load-log", _LOAD, rules, fields, more=(Facts(facts=stated),) if stated else ())


def spore_test_log(brief: Brief) -> Card:
    """Return the log of spore tests with their controls, who read both, and what was done."""
    rules = (
        rule_text(brief, "spore-weekly", "spore-implant-load"),
        rule_text(brief, "spore-control"),
        trigger_line(brief, "no-growth"),
        f"{trigger_line(brief, 'spore-positive', 1)} {rule_text(brief, 'spore-by-card')}",
        rule_text(brief, "keep-records", "keep-records-for"),
    )
    return _log(brief, "spore-log", _SPORE, rules, card_id="spore-test-log")


def repair_log(brief: Brief) -> Card:
    """Return the log of instruments that left a set or a pouch, why, and when they came back."""
    rules = (
        rule_text(brief, "repair-log-copy"),
        trigger_line(brief, "no-spare"),
        rule_text(brief, "repair-log-back"),
    )
    return _log(brief, "repair-log", _REPAIR, rules, hangs="bench", place="bench")


def maintenance_log(brief: Brief) -> Card:
    """Return the log of what is done to the machines and their water, with what is due and how often."""
    rules = (
        rule_text(brief, "water-fill", "water-change", "water-test", "water-limit"),
        rule_text(brief, "maintain"),
        rule_text(brief, "keep-records", "keep-records-for"),
    )
    tasks = tuple(_task(brief, task) for task in brief.practice.room.maintenance.values())
    due = (Facts(title=brief.words("forms.maintenance-log.tasks"), facts=tasks),) if tasks else ()
    return _log(brief, "maintenance-log", _MAINTENANCE, rules, more=due)


def _task(brief: Brief, task: MaintenanceTask) -> Fact:
    machine = f" · {brief.say(brief.practice.room.stages[task.stage].name)}" if task.stage else ""
    return Fact(label=brief.say(task.name), value=f"{every(brief, task.every)}{machine}")


def _log(
    brief: Brief,
    form: str,
    columns: dict[str, int],
    rules: tuple[str, ...],
    fields: tuple[str, ...] = (),
    *,
    card_id: str = "",
    hangs: str = "sterilizer",
    place: PostingLocation = "machine",
    more: tuple[Block, ...] = (),
) -> Card:
    grid = FormGrid(
        columns=tuple(brief.words(key) for key in columns), widths=tuple(columns.values()), rows=_ROWS, fields=fields
    )
    blocks = (form_rules(brief, form, *rules), *more, grid)
    return form_card(brief, card_id or form, form, blocks, hangs=hangs, place=place, landscape=True)


def _sterilizers(brief: Brief) -> Iterator[MachineStage]:
    for stage in brief.practice.room.stages.values():
        if isinstance(stage, MachineStage) and stage.area == "sterilization":
            yield stage


def _stated_cycle(brief: Brief, stage: MachineStage) -> Fact:
    """Return the cycle that readings are compared with, as the practice states it, and how many machines run it."""
    words, machine, said = brief.words, brief.say(stage.name), []
    if stage.steam:
        steam = stage.steam
        said.append(
            words(
                "forms.load-log.cycle",
                temperature=_degrees(brief, steam.temperature),
                exposure=f"{steam.exposure:g}",
                drying=f"{steam.drying:g}",
            )
        )
    if stage.machines > 1:
        said.append(words("forms.load-log.several", machine=machine, n=stage.machines))
    return Fact(label=machine, value=". ".join(said) or "–")


def _degrees(brief: Brief, celsius: float) -> str:
    """Return a temperature as the practice's country reads it: Celsius, and Fahrenheit beside Letter paper."""
    if brief.practice.settings.paper != "letter":
        return f"{celsius:g} °C"
    return f"{celsius:g} °C ({celsius * 9 / 5 + 32:.0f} °F)"
