"""Training sheets by role: what each has to show in the order of its work, with the practice's own card for it.

The sign-off sheet among the forms is one for every person and every topic; these list what a role has to show.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import partial
from typing import Literal, TypeAlias

from kitdocs.document.blocks import Cell, FormGrid, Picture, said
from kitdocs.document.card import Card
from kitdocs.handbook.cards.chairs import chair_look
from kitdocs.handbook.cards.packing import hurt_caution, open_rules
from kitdocs.handbook.cards.spares import spares
from kitdocs.handbook.move.go_live import busiest
from kitdocs.handbook.move.move import Move
from kitdocs.handbook.pictures import chair_mark_of, set_mark_of, tip_of
from kitdocs.handbook.rules.conditions import keeps_drawers, washes
from kitdocs.handbook.rules.quote import DRAWER_ACCESS, KEEP_MOIST, rule_text, trigger_line
from kitdocs.practice.message import Value
from kitdocs.practice.model import InstrumentSet, Pouch
from kitdocs.practice.room import MachineStage

_WIDTHS = (104.0, 50, 15, 15, 16)

Trained: TypeAlias = Literal["assistant", "technician", "temporary", "office"]

TRAINED: tuple[Trained, ...] = ("assistant", "technician", "temporary", "office")

Row: TypeAlias = tuple[Cell, ...]
"""A skill or rule and the card that shows how; or, alone, the name of the rows below it."""


def training_cards(move: Move) -> Iterator[Card]:
    """Yield one card per role."""
    for role in TRAINED:
        words = move.words
        grid = FormGrid(
            columns=words.each("move.training", "shows", "by-card", "trainee", "trainer", "date"),
            widths=_WIDTHS,
            rows=0,
            fields=words.each("move.training", "initials", "begun"),
            given=tuple(shown_by(move, role)),
        )
        intro = said(words(f"move.training.{role}.intro"), rule_text(move.brief, *_signed(role)))
        hurt = (hurt_caution(move.brief),) if role != "office" else ()
        yield move.card(f"move/training/{role}", (intro, *hurt, grid), kind="training")


def _signed(role: Trained) -> tuple[str, ...]:
    """Return what comes before a signature: whoever handles used instruments is trained on what they may carry."""
    return (*(("trained-first",) if role != "office" else ()), "sign-alone", "sign-again")


def shown_by(move: Move, role: Trained) -> Iterator[Row]:
    """Yield the rows of a role."""
    rows = {"assistant": _assistant, "technician": _technician, "temporary": _temporary, "office": _office}
    return rows[role](move)


def _assistant(move: Move) -> Iterator[Row]:
    practice = move.brief.practice
    group, show = partial(_group, move, "assistant"), partial(_row, move, "assistant")
    drawer = next((f"drawer/{chair}" for chair, record in practice.chairs.items() if record.drawer), "")
    add_ons = any(pouch.kind == "add-on" for pouch in practice.pouches.values())
    yield group("before")
    yield show("find", "map", procedure=move.brief.procedure(next(iter(practice.procedures))))
    yield show("mark", "key", codes=_codes(practice.sets))
    yield _stopped(move, "bad-pack", 1, "chair-side", "look-pack", "look-date")
    yield _stopped(move, "external-unchanged", 2, "chair-side", after=("take-other",))
    yield _stopped(move, "internal-unchanged", 2, "chair-side", "open-hands", "read-internal")
    if add_ons or drawer:
        yield group("during")
    if add_ons:
        yield show("add-on", "map")
    if drawer:
        yield show("drawer", drawer)
        yield _ruled(move, drawer, "drawer-first", *DRAWER_ACCESS, "drawer-never")
        yield _stopped(move, "opened", 2, drawer)
    yield group("after")
    yield _ruled(move, "chair-side", "no-recap", "sharps-out", "sharps-container")
    yield _ruled(move, "chair-side", "flush-lines", "bur-out", "single-use", "wipe-cement")
    opened = open_rules(move.brief, practice.instruments)
    yield _ruled(move, f"t/{busiest(move)}", "back-in-place", *opened)
    yield _stopped(move, "damaged", 2, "repair")
    yield _stopped(move, "broken", 1, "chair-side")
    yield _stopped(move, "missing", 2, "chair-side", after=("missing-close", "tell-room"))
    yield _ruled(move, "chair-side", *KEEP_MOIST, "carry-covered", "hands-after")
    yield show("lacking", "move/first-week")


def _technician(move: Move) -> Iterator[Row]:
    brief, practice = move.brief, move.brief.practice
    group, show = partial(_group, move, "technician"), partial(_row, move, "technician")
    yield group("receive")
    yield show("way", "first-day")
    yield _ruled(move, "first-day", "protect", "no-feel", "paper-out", "no-food")
    yield _tag(move)
    for stage, machine in _machines(move, "receiving"):
        yield show("load", f"load/{stage}", machine=machine)
    yield _ruled(move, "", "unload-clean", "handpiece-care", "container-back")
    if washes(practice):
        yield _stopped(move, "wash-test-failed", 1, "mishaps", "wash-test")
    yield _ruled(move, "repair", "new-first")
    yield group("pack")
    yield _ruled(move, "first-day", "packing-hands")
    for set_id, record in practice.sets.items():
        name = f"{brief.set(set_id)} ({record.code})"
        lay = move.words("move.training.technician.lay")
        yield _pictured(move, lay, f"t/{set_id}", name, set_mark_of(brief, set_id))
    yield show("wrap", "wrap-guide")
    if practice.pouches:
        yield show("pouch", "pouch-guide", codes=_codes(practice.pouches))
    yield _ruled(move, "wrap-guide", "label-pack", "label-load", "label-expiry", "label-pen")
    yield group("sterilize")
    for stage, machine in _machines(move, "sterilization"):
        yield show("load", f"load/{stage}", machine=machine)
    yield _ruled(move, "forms/load-log", "write-load", "write-before", "write-after", "release")
    yield _stopped(move, "reading-missed", 1, "forms/load-log")
    yield _ruled(move, "load/sterilize", "rack-out", "cool-first")
    yield _stopped(move, "external-unchanged", 2, "mishaps", "read-external")
    yield _stopped(move, "wet-load", 2)
    yield _stopped(move, "spore-positive", 1, "spore-test", "air-test", "spore-weekly")
    yield group("store")
    yield _stopped(move, "bad-pack", 1, "storage-map", "store-only")
    chairs = [chair for chair, record in practice.chairs.items() if record.drawer]
    if chairs:
        yield _ruled(move, f"r/{chairs[0]}", "refill-hands")
        yield show("refill", f"r/{chairs[0]}", colours=_colours(move, chairs))
    yield show("order", "stock")


def _temporary(move: Move) -> Iterator[Row]:
    brief, practice = move.brief, move.brief.practice
    group, show = partial(_group, move, "temporary"), partial(_row, move, "temporary")
    yield group("look")
    yield show("way", "first-day")
    yield show("nevers", "first-day")
    yield show("ask", "first-day")
    yield show("colours", "key", colours=_colours(move, list(practice.chairs)))
    yield group("do")
    yield _ruled(move, "first-day", "protect", "no-feel")
    yield _ruled(move, "first-day", "packing-hands")
    set_id = busiest(move)
    lay = move.words("move.training.temporary.lay")
    yield _pictured(move, lay, f"t/{set_id}", brief.set(set_id), set_mark_of(brief, set_id))
    if practice.pouches:
        yield show("pouch", "pouch-guide")
    yield show("wrap", "wrap-guide")
    if keeps_drawers(practice):
        yield _ruled(move, "first-day", "refill-by-card")
    for chair in [chair for chair, record in practice.chairs.items() if record.drawer][:2]:
        bring = move.words("move.training.temporary.refill")
        yield _pictured(move, bring, f"r/{chair}", brief.chair(chair), chair_mark_of(brief, chair))
    yield _ruled(move, "first-day", "cool-first")
    yield group("stop")
    yield _stopped(move, "damaged", 2, "repair", after=("damaged-order",))
    yield _stopped(move, "broken", 1)
    yield _stopped(move, "bad-pack", 1)
    yield _ruled(move, "first-day", "never-guess", "start-nothing")
    yield _stopped(move, "hurt", 1)


def _office(move: Move) -> Iterator[Row]:
    group, show = partial(_group, move, "office"), partial(_row, move, "office")
    yield group("folder")
    yield show("plan")
    yield show("change")
    yield show("current", "current")
    yield show("exchange")
    yield group("orders")
    yield show("order", "stock")
    yield show("count", "forms/count-sheet")
    yield show("repair", "forms/repair-log")
    yield group("records")
    yield _ruled(move, "forms/load-log", "keep-records", "keep-records-for")
    yield _ruled(move, "spore-test", "lead-decides")
    yield show("sign", "forms/training")
    yield show("privacy")


def _group(move: Move, role: str, group: str) -> Row:
    return (Cell(text=move.words(f"move.training.{role}.{group}")),)


def _row(move: Move, role: str, key: str, card: str = "", **values: Value) -> Row:
    return Cell(text=move.words(f"move.training.{role}.{key}", **values)), _by(move, card)


def _by(move: Move, card_id: str) -> Cell:
    """Return the card that shows how, with the edition that is signed: these sheets are printed with the cards."""
    card = move.cards.get(card_id)
    seen = move.see(card_id)
    return Cell(text=f"{seen.text} · {card.edition}", link=seen.link) if card else seen


def _ruled(move: Move, card: str, *rules: str) -> Row:
    """Return a row that quotes rules."""
    return Cell(text=rule_text(move.brief, *rules)), _by(move, card)


def _stopped(
    move: Move, trigger: str, most: int, card: str = "mishaps", *rules: str, after: tuple[str, ...] = ()
) -> Row:
    """Return a row with `rules`, then a trigger and its first steps, then the rules `after` them."""
    line = trigger_line(move.brief, trigger, most)
    text = f"{rule_text(move.brief, *rules)} {line} {rule_text(move.brief, *after)}"
    return Cell(text=text.strip()), _by(move, card)


def _pictured(move: Move, text: str, card: str, name: str, picture: Picture) -> Row:
    """Return a row for a thing by its picture and name, and what is done with it."""
    return Cell(text=name, detail=text, picture=picture), _by(move, card)


def _tag(move: Move) -> Row:
    """Return the row on damaged instruments, with the one that is most often away for repair as its example."""
    away = spares(move.brief)
    if not away:
        return _stopped(move, "damaged", 2, "repair", after=("damaged-order",))
    dullest = max(away, key=lambda instrument: away[instrument])
    name = move.brief.instrument(dullest)
    text = f"{trigger_line(move.brief, 'damaged')} {rule_text(move.brief, 'damaged-order')}"
    return _pictured(move, text, "repair", name, tip_of(move.brief, dullest))


def _machines(move: Move, area: str) -> Iterator[tuple[str, str]]:
    for stage_id, stage in move.brief.practice.room.stages.items():
        if isinstance(stage, MachineStage) and stage.area == area:
            yield stage_id, move.brief.say(stage.name)


def _codes(things: Mapping[str, InstrumentSet] | Mapping[str, Pouch]) -> str:
    return " · ".join(record.code for record in things.values())


def _colours(move: Move, chairs: list[str]) -> str:
    return " · ".join(chair_look(move.brief, chair) for chair in chairs)
