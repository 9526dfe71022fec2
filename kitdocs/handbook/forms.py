"""The forms to be filled in by hand: logs, the stock count, the sign-off sheet. No form asks about a person treated.

Fields of the logs: CDC, Guidelines for Infection Control in Dental Health-Care Settings 2003, MMWR 52(RR-17), part VI.F
(readings of every load, weekly spore test with a control of the same lot, indicators); the action after a positive test
as the card on spore tests has it. The numbers of stock.csv are not on the count sheet: whoever counts against a number
finds that number (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from math import ceil
from typing import Any

from kitdocs.document.blocks import Block, Cell, Fact, Facts, FormGrid
from kitdocs.document.card import Card, PostingLocation
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.layout import cells, steps
from kitdocs.handbook.pictures import cassette_picture, photo_of, tip_of
from kitdocs.handbook.refill_round import in_stated_order
from kitdocs.handbook.rules.conditions import keeps_drawers, maintenance_is_logged
from kitdocs.handbook.rules.quote import every, rule_text, trigger_line
from kitdocs.practice.model import InstrumentSet, Pouch
from kitdocs.practice.room import MachineStage, MaintenanceTask

#: The columns of each form: a word of forms.yaml and a width, in parts of the whole.
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

_COUNT = {
    "forms.count.thing": 78.0, "forms.count.need": 22, "forms.count.on-hand": 24, "forms.count.in-repair": 26,
    "forms.remarks": 46,
}  # fmt: skip
_SIGN_OFF = {
    "forms.training.topic": 72.0, "forms.training.card": 46, "forms.training.edition": 14,
    "forms.training.trainee-signs": 26, "forms.training.trainer-signs": 26,
}  # fmt: skip

#: A set is opened more than once a day, so a row of the sheet for its pieces can be used three times.
_OPENED_AND_CLOSED = ("opened", "closed") * 3

#: What is written into the load log, when, and how long it is kept.
_WRITTEN = ("write-load", "write-before", "write-after", "air-test-log", "keep-records", "keep-records-for")

#: Rows that a log has at least; paper has as many as its page holds.
_ROWS = 6

#: Empty rows below those of the count sheet, for what stands in no file yet.
_MORE = 3

#: Chairs beside each other on the round sheet: a hand needs 20 mm a box. Common practice, no source.
_CHAIRS = 8

#: Groups of topics on the sign-off sheet: the name of the first stands over them all.
_GROUPS = (("chair",), ("reprocessing", "repair", "spore"), ("storage",))


def forms(brief: Brief) -> Iterator[Card]:
    """Yield every form, in the order of the binder."""
    yield load_log(brief)
    yield spore_test_log(brief)
    yield repair_log(brief)
    if maintenance_is_logged(brief.practice):
        yield maintenance_log(brief)
    if keeps_drawers(brief.practice):
        yield round_sheet(brief)
    yield count_sheet(brief)
    yield piece_count(brief)
    yield training_sign_off(brief)


def load_log(brief: Brief) -> Card:
    """Return the log of readings, indicators and contents of every load; each sterilizer has its own."""
    words = brief.words
    fields = (words("forms.load-log.sterilizer"), words("forms.load-log.begun"))
    stated = tuple(_stated_cycle(brief, stage) for stage in brief.practice.room.sterilizers.values())
    rules = (
        rule_text(brief, *_WRITTEN),
        f"{trigger_line(brief, 'reading-missed', 1)} {trigger_line(brief, 'external-unchanged')}",
        rule_text(brief, "implant-load", "implant-sooner"),
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
        rule_text(brief, "repair-log-copy", "repair-log-send"),
        trigger_line(brief, "no-spare"),
        rule_text(brief, "repair-log-back", "new-first"),
    )
    return _log(brief, "repair-log", _REPAIR, rules, hangs="bench", place="bench")


def maintenance_log(brief: Brief) -> Card:
    """Return the log of what is done to the machines and their water, with what is due and how often."""
    rules = (
        rule_text(brief, "water-fill", "water-change", "water-test", "water-limit"),
        rule_text(brief, "maintain", "cool-and-off", "wash-test"),
        rule_text(brief, "keep-records", "keep-records-for"),
    )
    tasks = tuple(_task(brief, task) for task in brief.practice.room.maintenance.values())
    due = (Facts(title=brief.words("forms.maintenance-log.tasks"), facts=tasks),) if tasks else ()
    return _log(brief, "maintenance-log", _MAINTENANCE, rules, more=due)


def _task(brief: Brief, task: MaintenanceTask) -> Fact:
    machine = f" · {brief.say(brief.practice.room.stages[task.stage].name)}" if task.stage else ""
    return Fact(label=brief.say(task.name), value=f"{every(brief, task.every)}{machine}")


def _stated_cycle(brief: Brief, stage: MachineStage) -> Fact:
    """Return the cycle that readings are compared with, as the practice states it, and how many machines run it."""
    words, machine, steam, said = brief.words, brief.say(stage.name), stage.steam, []
    if steam:
        times = {"exposure": steam.exposure, "drying": steam.drying}
        said.append(words("forms.load-log.cycle", temperature=_degrees(brief, steam.temperature), **times))
    if stage.count > 1:
        said.append(words("forms.load-log.several", machine=machine, n=stage.count))
    return Fact(label=machine, value=". ".join(said) or "–")


def _degrees(brief: Brief, celsius: float) -> str:
    """Return a temperature as the practice's country reads it: Celsius, and Fahrenheit beside Letter paper."""
    if brief.practice.settings.paper != "letter":
        return f"{brief.words.number(celsius, 4)} °C"
    return f"{brief.words.number(celsius, 4)} °C ({celsius * 9 / 5 + 32:.0f} °F)"


def count_sheet(brief: Brief) -> Card:
    """Return the form for counting every instrument, cassette and packed pouch of the practice."""
    practice, need = brief.practice, {line.id: line.need for line in brief.plan.orders.lines}
    instruments = (id_ for id_, record in practice.instruments.items() if not record.single_use)
    rows = (
        *_counted(brief, "instruments", (_instrument(brief, id_, need[id_]) for id_ in instruments)),
        *_counted(brief, "cassettes", (_cassette(brief, id_, need[id_]) for id_ in practice.cassettes)),
        *_counted(brief, "pouches", (_pouch(brief, id_) for id_ in practice.pouches)),
    )
    rules = (rule_text(brief, "count-all"), rule_text(brief, "count-write"))
    grid = _grid(brief, _COUNT, rows=_MORE, given=rows)
    return _form(brief, "count-sheet", "count", rules, grid, hangs="storage", place="storage")


def _counted(brief: Brief, kind: str, rows: Iterable[tuple[Cell, ...]]) -> Iterator[tuple[Cell, ...]]:
    counted = list(rows)
    if counted:
        yield (Cell(text=brief.words(f"forms.count.{kind}")),)
        yield from counted


def _instrument(brief: Brief, instrument: str, need: int) -> tuple[Cell, ...]:
    return cells(Cell(text=brief.instrument(instrument), picture=tip_of(brief, instrument)), str(need))


def _cassette(brief: Brief, cassette: str, need: int) -> tuple[Cell, ...]:
    record = brief.practice.cassettes[cassette]
    size = brief.size(record.outside.length, record.outside.width)
    named = Cell(text=brief.say(record.name), detail=size, picture=cassette_picture(brief, cassette))
    return cells(named, str(need))


def _pouch(brief: Brief, pouch: str) -> tuple[Cell, ...]:
    record = brief.practice.pouches[pouch]
    picture = photo_of(brief, pouch, brief.pouch(pouch)) or tip_of(brief, record.contents[0])
    named = Cell(text=brief.pouch(pouch), detail=record.code, picture=picture)
    return cells(named, str(brief.plan.days.pouch_stock.get(pouch, 0)))


def piece_count(brief: Brief) -> Card:
    """Return the form for counting the pieces of a set or pouch when it is opened, and again before it is closed.

    Opened and closed side by side, as on the count sheets of hospitals: common practice, no source.
    """
    practice, words = brief.practice, brief.words
    given = (
        *_packs(brief, "sets", practice.sets),
        *_packs(brief, "pouches", practice.pouches),
    )
    rules = (rule_text(brief, "count-opened", "missing-doctor"),)
    grid = FormGrid(
        columns=(*words.each("forms.pieces", "pack", "holds"), *words.each("forms.pieces", *_OPENED_AND_CLOSED)),
        widths=(62.0, 17, *(17 for _ in _OPENED_AND_CLOSED)),
        rows=0,
        fields=words.each("forms", "date", "pieces.chair", "who"),
        given=given,
    )
    return _form(brief, "piece-count", "pieces", rules, grid, hangs="binder", place="binder")


def _packs(brief: Brief, kind: str, packs: Mapping[str, InstrumentSet | Pouch]) -> Iterator[tuple[Cell, ...]]:
    if packs:
        yield (Cell(text=brief.words(f"forms.pieces.{kind}")),)
    for id_, record in packs.items():
        yield cells(f"{record.code} · {brief.pack(id_)}", str(len(record.contents)))


def round_sheet(brief: Brief) -> Card:
    """Return the sheet of a round: a row for each pouch as the store has it, a column for each chair, and the sum.

    Where all chairs stand in one table, the sheet has one for each round that it has room for.
    """
    chairs = list(brief.practice.chairs)
    tables = ceil(len(chairs) / _CHAIRS)
    firsts = [ceil(n * len(chairs) / tables) for n in range(tables + 1)]
    grids = [_of_chairs(brief, chairs[first:end]) for first, end in pairwise(firsts)]
    if len(grids) > 1:
        last = grids[-1]
        columns = (*last.columns, brief.words("forms.round.sum-all"))
        grids[-1] = replace(last, columns=columns, widths=(*last.widths, 26.0))
    else:
        grids = [replace(grids[0], repeated=True)]
    grids[0] = replace(grids[0], fields=brief.words.each("forms", "date", "round.time", "who"))
    fill = f"{rule_text(brief, 'refill-hands')} {rule_text(brief, 'round-fill')}"
    look = rule_text(brief, *(("round-table", "round-look") if len(grids) == 1 else ("round-look",)))
    rules = (look, rule_text(brief, "round-sum"), fill, rule_text(brief, "round-left"))
    where: dict[str, Any] = {"hangs": "storage", "place": "storage", "landscape": True}
    return _form(brief, "round", "round", rules, *grids, **where, numbered=True)


def _of_chairs(brief: Brief, chairs: Sequence[str]) -> FormGrid:
    """Return the boxes of some chairs, each with how many belong there, in brackets; a dash where none does."""
    words, par = brief.words, brief.plan.par
    given = tuple(
        (
            Cell(text=brief.pouch(pouch), detail=brief.at_stated_place(brief.code(pouch), pouch)),
            *(
                Cell(text=words("forms.round.belongs", n=par[chair, pouch]) if (chair, pouch) in par else "–")
                for chair in chairs
            ),
        )
        for pouch in in_stated_order(brief)
    )
    columns = (words("forms.round.pouch"), *map(brief.chair, chairs), words("forms.round.sum"))
    return FormGrid(columns=columns, widths=(60.0, *(24.0 for _ in chairs), 26.0), rows=0, given=given)


def training_sign_off(brief: Brief) -> Card:
    """Return who may do what alone, one person a sheet: topics, signed by trainee and trainer, and by which card.

    Which edition that card had is copied from its foot: the sheet is copied and used for years, and a card that changes
    must not change it.
    """
    fields = brief.words.each("forms.training", "trainee", "role", "trainer")
    given = tuple(row for groups in _GROUPS for row in _group(brief, groups))
    rules = (rule_text(brief, "trained-first"), rule_text(brief, "sign-alone", "sign-again"))
    grid = _grid(brief, _SIGN_OFF, rows=0, fields=fields, given=given)
    return _form(brief, "training", "training", rules, grid, hangs="binder", place="binder")


def _group(brief: Brief, groups: tuple[str, ...]) -> Iterator[tuple[Cell, ...]]:
    yield (Cell(text=brief.words(f"forms.training.group.{groups[0]}")),)
    for group in groups:
        for topic, card, title, values in _topics(brief, group):
            yield cells(brief.words(f"forms.training.{group}.{topic}", **values), Cell(text=title, link=card))


def _topics(brief: Brief, group: str) -> Iterator[tuple[str, str, str, dict[str, str]]]:
    """Yield topic, the card that teaches it, that card's title, and the values for the topic's sentence."""
    words, practice = brief.words, brief.practice
    guide = {name: words(f"card.guide.{name}") for name in ("wrap-guide", "pouch-guide", "storage-map", "repair")}
    if group == "chair":
        yield "find", "map", words("card.map.title"), {}
        yield "drawer", "", words("card.section.drawers"), {}
        yield "open", "chair-side", words("card.chair-side.title"), {}
        yield "close", "chair-side", words("card.chair-side.title"), {}
    elif group == "reprocessing":
        yield "way", "first-day", words("card.first-day.title"), {}
        for load in brief.plan.load_guides:
            machine = brief.say(practice.room.stages[load.stage].name)
            yield "load", f"load/{load.stage}", words("card.load.title", machine=machine), {"machine": machine}
        yield "lay", "", words("card.section.templates"), {"codes": ", ".join(s.code for s in practice.sets.values())}
        if practice.pouches:
            yield "pouch", "pouch-guide", guide["pouch-guide"], {}
        yield "wrap", "wrap-guide", guide["wrap-guide"], {}
        yield "log", "forms/load-log", words("forms.load-log.title"), {}
        if maintenance_is_logged(practice):
            yield "maintain", "forms/maintenance-log", words("forms.maintenance-log.title"), {}
        yield "wrong", "mishaps", words("card.mishaps.title"), {}
    elif group == "storage":
        yield "away", "storage-map", guide["storage-map"], {}
        if keeps_drawers(practice):
            yield "refill", "", words("card.section.refill"), {}
        yield "order", "stock", words("card.stock.title"), {}
    elif group == "repair":
        yield "tag", "repair", guide["repair"], {}
        yield "log", "forms/repair-log", words("forms.repair-log.title"), {}
    else:
        yield "run", "forms/spore-test-log", words("forms.spore-log.title"), {}
        yield "answer", "spore-test", words("card.guide.spore-test"), {}


def _log(
    brief: Brief,
    form: str,
    columns: Mapping[str, float],
    rules: tuple[str, ...],
    fields: tuple[str, ...] = (),
    *,
    card_id: str = "",
    hangs: str = "sterilizer",
    place: PostingLocation = "machine",
    more: tuple[Block, ...] = (),
) -> Card:
    grid = _grid(brief, columns, rows=_ROWS, fields=fields)
    return _form(brief, card_id or form, form, rules, *more, grid, hangs=hangs, place=place, landscape=True)


def _grid(brief: Brief, columns: Mapping[str, float], **more: Any) -> FormGrid:
    return FormGrid(columns=tuple(map(brief.words, columns)), widths=tuple(columns.values()), **more)


def _form(
    brief: Brief,
    name: str,
    words: str,
    rules: tuple[str, ...],
    *blocks: Block,
    hangs: str,
    place: PostingLocation,
    landscape: bool = False,
    numbered: bool = False,
) -> Card:
    """Return the form ``forms/name``, whose sentences stand under ``forms.words``: how it is filled in, then `blocks`.

    A rule that does not apply to the practice is empty and left out.
    """
    return Card(
        id=f"forms/{name}",
        kind="form",
        title=brief.words(f"forms.{words}.title"),
        subtitle=brief.words("forms.copy"),
        section=brief.words("forms.section"),
        hangs=brief.words(f"card.hangs.{hangs}"),
        place=place,
        pairs=True,
        front=(steps(brief.words(f"forms.{words}.rules"), rules, numbered=numbered), *blocks),
        landscape=landscape,
    )
