"""An act of printing made from handbooks: which cards are new on the wall, what they say, and which are gone."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from kitdocs.document.card import Card, Handbook
from kitdocs.document.content import content
from kitdocs.document.edition import edition_of
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.practice.printed import PrintAct, PrintedCard, PrintRecord, TakenOut
from kitdocs.practice.recording import act_text
from kitdocs.revisions.inputs import figures_kept, inputs_kept

#: The labels of the sheets that each card of a handbook has in the binder, by card id.
Labels = Callable[[Handbook], Mapping[str, Sequence[str]]]


@dataclass(frozen=True, slots=True, kw_only=True)
class NewAct:
    """An act that is not written yet, and the name of its file."""

    name: str
    act: PrintAct


def printed_card(card: Card, language: str, sheets: Sequence[str] = ()) -> PrintedCard:
    """A card as the record keeps it."""
    said = content(card)
    return PrintedCard(
        card=card.id, language=language, edition=card.edition, place=card.place, sheets=tuple(sheets), **said
    )


def new_act(
    practice: Practice,
    plan: Plan,
    handbooks: Sequence[Handbook],
    *,
    day: str,
    by: str = "",
    chosen: Sequence[str] = (),
    labels: Labels = lambda handbook: {},
) -> NewAct | None:
    """What is new on the wall when the `chosen` cards (ids, kinds or places; all without any) hang as they are now.

    None when all that is recorded already.
    """
    record = practice.printed
    cards = tuple(_new_cards(record, handbooks, chosen, labels))
    gone = tuple(_gone(record, handbooks, chosen))
    if not (cards or gone):
        return None
    act = PrintAct(
        date=day,
        by=" ".join(by.split()),
        follows=record.latest,
        cards=cards,
        taken_out=gone,
        figures=figures_kept(plan) if cards else {},
        inputs=inputs_kept(practice) if cards else {},
    )
    return NewAct(name=_free_name(record, act), act=act)


def _free_name(record: PrintRecord, act: PrintAct) -> str:
    text, turn = act_text(act), 0
    while (name := f"{act.date}-{edition_of([text, turn] if turn else text)}") in record.acts:
        turn += 1
    return name


def _new_cards(
    record: PrintRecord, handbooks: Sequence[Handbook], chosen: Sequence[str], sheets_of: Labels
) -> Iterator[PrintedCard]:
    for handbook in handbooks:
        sheets = sheets_of(handbook)
        for card in handbook.kept:
            if not _is_chosen(chosen, card.id, card.place, card.kind):
                continue
            key = (card.id, handbook.language)
            hung, labels = record.hanging.get(key), tuple(sheets.get(card.id, ()))
            known = hung and hung.card.edition == card.edition and hung.card.sheets == labels
            if known and key not in record.disputed:
                continue
            yield _without_what_is_kept(record, printed_card(card, handbook.language, labels))


def _without_what_is_kept(record: PrintRecord, card: PrintedCard) -> PrintedCard:
    """What an edition says is kept once."""
    known = any(
        was.card.edition == card.edition and (was.card.front or was.card.back)
        for was in record.printings.get(card.key, ())
    )
    return card.model_copy(update={"front": (), "back": ()}) if known else card


def _gone(record: PrintRecord, handbooks: Sequence[Handbook], chosen: Sequence[str]) -> Iterator[TakenOut]:
    there = {(card.id, handbook.language) for handbook in handbooks for card in handbook.kept}
    for key, hung in record.hanging.items():
        if key not in there and _is_chosen(chosen, hung.card.card, hung.card.place):
            yield TakenOut(card=key[0], language=key[1])


def _is_chosen(chosen: Sequence[str], *names: str) -> bool:
    return not chosen or any(name in chosen for name in names)


def known_names(handbooks: Sequence[Handbook], record: PrintRecord) -> frozenset[str]:
    """Everything by which a printed card can be chosen: ids, kinds and places, of cards that are no more too."""
    now = {name for handbook in handbooks for card in handbook.kept for name in (card.id, card.kind, card.place)}
    return frozenset(now | {card for card, _ in record.hanging} | {hung.card.place for hung in record.hanging.values()})
