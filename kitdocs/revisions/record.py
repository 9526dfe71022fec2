"""Print runs made from handbooks: the choice of cards, those newly posted with their words, and those that are gone."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from kitdocs.document.card import Card, Handbook
from kitdocs.document.content import content
from kitdocs.document.edition import edition_of
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.practice.printed import (
    LONGEST_NAME,
    PRINTED,
    PrintedCard,
    PrintedLabel,
    PrintRecord,
    PrintRun,
    TakenOut,
    day,
)
from kitdocs.practice.problems import nearest
from kitdocs.practice.reading.text_file import UNPRINTABLE
from kitdocs.practice.recording import run_text
from kitdocs.revisions.inputs import figures_kept, inputs_kept
from kitdocs.revisions.label_exchange import printed_labels

#: Chooses the labels and marks, as a card's id, kind or place does cards.
LABELS = "labels"

#: The labels of each card's leaves in the binder, by card id.
Labels = Callable[[Handbook], Mapping[str, Sequence[str]]]


@dataclass(frozen=True, slots=True, kw_only=True)
class NewRun:
    """A print run that is not written yet, and the name of its file."""

    name: str
    run: PrintRun


def printed_card(card: Card, language: str, sheets: Sequence[str] = ()) -> PrintedCard:
    """Return a card as the print record keeps it."""
    said = content(card)
    return PrintedCard(
        card=card.id, language=language, edition=card.edition, place=card.place, sheets=tuple(sheets), **said
    )


def new_run(
    practice: Practice,
    plan: Plan,
    handbooks: Sequence[Handbook],
    *,
    day: str,
    by: str = "",
    chosen: Sequence[str] = (),
    labels: Labels = lambda handbook: {},
    language: str = "",
) -> NewRun | None:
    """Return what is new when the `chosen` cards (ids, kinds or places; all without any) are posted as they are now.

    ``labels`` chooses the labels and marks. With a `language`, only what is printed in it counts. None when all of it
    is recorded already.
    """
    record = practice.printed
    wanted = [handbook for handbook in handbooks if language in ("", handbook.language)]
    cards = tuple(_new_cards(record, wanted, chosen, labels))
    gone = tuple(each for each in _gone(record, handbooks, chosen) if language in ("", each.language))
    stuck_on = tuple(_new_labels(record, wanted)) if _is_chosen(chosen, LABELS) else ()
    if not (cards or gone or stuck_on):
        return None
    run = PrintRun(
        date=day,
        by=" ".join(by.split()),
        follows=record.latest,
        cards=cards,
        taken_out=gone,
        labels=stuck_on,
        figures=figures_kept(plan) if cards else {},
        inputs=inputs_kept(practice) if cards else {},
    )
    return NewRun(name=_free_name(record, run), run=run)


def _new_labels(record: PrintRecord, handbooks: Sequence[Handbook]) -> Iterator[PrintedLabel]:
    """Yield all labels of each language in which one differs from the record."""
    for handbook in handbooks:
        if (now := printed_labels(handbook)) != record.labels.get(handbook.language, ()):
            yield from now


def _free_name(record: PrintRecord, run: PrintRun) -> str:
    text, turn = run_text(run), 0
    while (name := f"{run.date}-{_code_of(text, turn)}") in record.runs:
        turn += 1
    return name


def _code_of(text: str, turn: int) -> str:
    """Return the code in the name of a run's file; `turn` tells apart runs of one day that say the same."""
    return edition_of([text, turn] if turn else text)


def edited_runs(folder: Path, record: PrintRecord) -> tuple[str, ...]:
    """Return the runs whose files are not as kitdocs wrote them: their name tells what it wrote.

    A file that came with other line ends is the same.
    """
    return tuple(name for name in record.in_order if not _as_written(folder / PRINTED / f"{name}.yaml", name))


#: Most runs that ever said the same on one day.
_TURNS = 20


def _as_written(file: Path, name: str) -> bool:
    try:
        text = file.read_bytes().decode().replace("\r\n", "\n")
    except (OSError, ValueError):
        return True  # what cannot be read is no record, and was told before
    code = name.rpartition("-")[2]
    return any(code == _code_of(text, turn) for turn in range(_TURNS))


def _new_cards(
    record: PrintRecord, handbooks: Sequence[Handbook], chosen: Sequence[str], sheets_of: Labels
) -> Iterator[PrintedCard]:
    for handbook in handbooks:
        sheets = sheets_of(handbook)
        for card in handbook.kept:
            if not _is_chosen(chosen, card.id, card.place, card.kind):
                continue
            key = (card.id, handbook.language)
            posted, labels = record.posted.get(key), tuple(sheets.get(card.id, ()))
            known = posted and posted.card.edition == card.edition and posted.card.sheets == labels
            if known and key not in record.disputed:
                continue
            yield _without_known_blocks(record, printed_card(card, handbook.language, labels))


def _without_known_blocks(record: PrintRecord, card: PrintedCard) -> PrintedCard:
    """Leave out the blocks where the record already holds them: each edition is recorded once."""
    known = any(
        printed.card.edition == card.edition and (printed.card.front or printed.card.back)
        for printed in record.printings.get(card.key, ())
    )
    return card.model_copy(update={"front": (), "back": ()}) if known else card


def _gone(record: PrintRecord, handbooks: Sequence[Handbook], chosen: Sequence[str]) -> Iterator[TakenOut]:
    there = {(card.id, handbook.language) for handbook in handbooks for card in handbook.kept}
    for key, posted in record.posted.items():
        if key not in there and _is_chosen(chosen, posted.card.card, posted.card.place):
            yield TakenOut(card=key[0], language=key[1])


def _is_chosen(chosen: Sequence[str], *names: str) -> bool:
    return not chosen or any(name in chosen for name in names)


def known_names(handbooks: Sequence[Handbook], record: PrintRecord) -> frozenset[str]:
    """Return the ids, kinds and places by which a printed card can be chosen, those of withdrawn cards included."""
    now = {name for handbook in handbooks for card in handbook.kept for name in (card.id, card.kind, card.place)}
    withdrawn = {name for posted in record.posted.values() for name in (posted.card.card, posted.card.place)}
    return frozenset(now | withdrawn | {LABELS})


def day_of(text: str) -> str:
    """Return a day as ``2026-11-25``, today if none is given. Raises ValueError saying what to write."""
    return day(text) if text else date.today().isoformat()


def posted_by(name: str) -> str:
    """Return who posted the cards, on one line. Raises ValueError if the record cannot keep it."""
    name = " ".join(name.split())
    if UNPRINTABLE.search(name):
        raise ValueError("this contains a character that cannot be printed; write a name or role, for example lead")
    if len(name) > LONGEST_NAME:
        raise ValueError(f"this is {len(name)} characters, and the limit is {LONGEST_NAME}; a name or role will do")
    return name


def chosen_cards(texts: Sequence[str] | None, handbooks: Sequence[Handbook], record: PrintRecord) -> tuple[str, ...]:
    """Return the ids, kinds and places of cards that were asked for, with or without commas.

    Raises ValueError for an unknown card, and for a choice that names none: that is a slip, and would record
    everything.
    """
    known = known_names(handbooks, record)
    names = tuple(name.strip() for text in texts or () for name in text.split(",") if name.strip())
    if texts and not names:
        raise ValueError("no card named; leave --cards out to record them all")
    for name in names:
        if name not in known:
            remedy = nearest(name, known) or f"see 'kitdocs printed --help'; the places are: {_places(handbooks)}"
            raise ValueError(f"no card, kind or place is named '{name}'; {remedy}")
    return names


def _places(handbooks: Sequence[Handbook]) -> str:
    return ", ".join(sorted({card.place for handbook in handbooks for card in handbook.kept if card.place}))


def refuse_hidden(new: NewRun, record: PrintRecord) -> None:
    """Raise ValueError if a card in `new` is already recorded for a later day, which would win.

    Causes: a slip in the year, or a day recorded late.
    """
    keys = [card.key for card in new.run.cards] + [(gone.card, gone.language) for gone in new.run.taken_out]
    later = [record.posted[key] for key in keys if key in record.posted and record.posted[key].date > new.run.date]
    stuck_on = next((name for name in reversed(record.in_order) if record.runs[name].labels), "")
    if new.run.labels and stuck_on and record.runs[stuck_on].date > new.run.date:
        raise ValueError(f"{PRINTED}/{stuck_on}.yaml has labels of a later day than {new.run.date}; give a later day")
    if later:
        last = max(later, key=lambda posted: posted.date)
        raise ValueError(
            f"{PRINTED}/{last.run}.yaml says that '{last.card.title}' was posted on {last.date}, after "
            f"{new.run.date}; give a later day, or delete that record if its date is wrong"
        )
