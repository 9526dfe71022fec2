"""Cards to replace, the figures and inputs that moved, and the earlier editions that the site reports."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from kitdocs.document.card import Card, Handbook
from kitdocs.document.catalog import MessageCatalog
from kitdocs.document.history import EarlierEdition, Replacement, WithdrawnCard
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.practice.printed import PostedCard, PrintedCard, PrintRecord
from kitdocs.revisions.compare import differences
from kitdocs.revisions.inputs import Moved, figures_kept, inputs_kept, moved
from kitdocs.revisions.label_exchange import LabelExchange, label_exchanges
from kitdocs.revisions.loose_leaf import kept_labels, strays
from kitdocs.revisions.record import printed_card
from kitdocs.revisions.sentences import Difference, marks, sentences

#: Differences from older editions are not listed: almost everything may differ.
_COMPARED = 6


def due_replacements(record: PrintRecord, handbooks: Sequence[Handbook]) -> Mapping[str, tuple[Replacement, ...]]:
    """Return the cards to replace, by language: first those of the handbook, in its order, then withdrawn ones.

    A language with nothing to do is left out. A language that is no longer printed is included.
    """
    by_language = {handbook.language: handbook for handbook in handbooks}
    found: dict[str, tuple[Replacement, ...]] = {}
    for language in dict.fromkeys((*by_language, *(language for _, language in record.posted))):
        handbook = by_language.get(language)
        cards = handbook.kept if handbook else ()
        due = [*(_new_cards(record, handbook, cards) if handbook else ()), *_gone(record, cards, language)]
        if due:
            found[language] = tuple(due)
    return found


def _new_cards(record: PrintRecord, handbook: Handbook, cards: Sequence[Card]) -> Iterator[Replacement]:
    for card in cards:
        posted = record.posted.get((card.id, handbook.language))
        old = posted.card if posted else None
        editions = record.disputed.get((card.id, handbook.language), ())
        if old and old.edition == card.edition and not editions:
            continue
        found = differences(old, printed_card(card, handbook.language)) if old else ()
        yield Replacement(
            card=card.id,
            action="replace" if old else "add",
            title=card.title,
            subtitle=card.subtitle,
            hangs=card.hangs,
            new_edition=card.edition,
            changes=(*_disputed(editions, handbook.words), *_reported(card, found, handbook.words)),
            marked=marks(found),
            **(_old(old) if old else {}),
        )


def _old(card: PrintedCard) -> dict[str, Any]:
    heads = {f"old_{name}": getattr(card, name) for name in ("title", "subtitle", "section", "hangs", "edition")}
    return {**heads, "sheets": card.sheets}


def _disputed(editions: Sequence[str], words: MessageCatalog) -> Iterator[str]:
    if editions:
        yield words("changes.disputed", editions=", ".join(editions))


def _reported(card: Card, found: Sequence[Difference], words: MessageCatalog) -> tuple[str, ...]:
    """Return the differences as sentences. The list of current cards follows the other cards: one sentence will do."""
    listed = card.kind == "current-cards" and found
    return (words("changes.listed"),) if listed else sentences(found, words)


def _gone(record: PrintRecord, cards: Sequence[Card], language: str) -> Iterator[Replacement]:
    there = {card.id for card in cards}
    for (card_id, card_language), posted in record.posted.items():
        if card_language == language and card_id not in there:
            old = posted.card
            yield Replacement(
                card=card_id,
                action="take-out",
                title=old.title,
                subtitle=old.subtitle,
                hangs=old.hangs,
                **_old(old),
            )


def with_history(handbook: Handbook, record: PrintRecord) -> Handbook:
    """Return the handbook with its past: earlier editions, withdrawn cards, and the labels of its leaves."""
    if not record.runs:
        return handbook
    cards = {card.id: card for card in handbook.cards}
    printings = {card: past for (card, language), past in record.printings.items() if language == handbook.language}
    now = {id_ for id_, language in record.posted if language == handbook.language}
    earlier = {
        id_: found
        for id_, past in printings.items()
        if id_ in cards and (found := _earlier(cards[id_], handbook.language, past, handbook.words))
    }
    return replace(
        handbook,
        earlier=earlier,
        withdrawn=tuple(_withdrawn(id_, past) for id_, past in printings.items() if id_ not in cards),
        sheets=_sheets(printings, cards, now),
    )


def _earlier(
    card: Card, language: str, printings: Sequence[PostedCard], words: MessageCatalog
) -> tuple[EarlierEdition, ...]:
    """Return each other edition once, with the day on which it was last printed, the latest first."""
    others = {printed.card.edition: printed for printed in printings if printed.card.edition != card.edition}
    if not others:
        return ()
    now = printed_card(card, language)
    latest_first = sorted(others.values(), key=printings.index, reverse=True)
    return tuple(
        EarlierEdition(
            edition=printed.card.edition,
            printed=printed.date,
            changes=_reported(card, differences(printed.card, now), words)
            if newer < _COMPARED
            else (words("changes.older", n=newer),),
        )
        for newer, printed in enumerate(latest_first)
    )


def _sheets(
    printings: Mapping[str, Sequence[PostedCard]], cards: Mapping[str, Card], now: Collection[str]
) -> dict[str, tuple[str, ...]]:
    """Return every label that was ever given: none of them is given to another card. `now` are the cards in the binder.

    The labels that a card had in another section stay taken, under a name that is no card's. A card that goes on on
    another one's sheets is where that one is, whatever section it belongs to.
    """
    ever = {
        id_: tuple(dict.fromkeys(label for old in past for label in old.card.sheets)) for id_, past in printings.items()
    }
    own = kept_labels(ever, {id_: past[-1].card.sheets for id_, past in printings.items()}, now)
    before = {id_: past[-1].card.section for id_, past in printings.items()}
    astray = strays(own, {id_: card.section for id_, card in cards.items() if card.back_of not in cards}, before)
    return {f"{id_} (moved)" if id_ in astray else id_: labels for id_, labels in own.items()}


def _withdrawn(id_: str, printings: Sequence[PostedCard]) -> WithdrawnCard:
    last = printings[-1].card
    editions = dict.fromkeys(printed.card.edition for printed in reversed(printings))
    return WithdrawnCard(id=id_, title=last.title, subtitle=last.subtitle, hangs=last.hangs, editions=tuple(editions))


@dataclass(frozen=True, slots=True, kw_only=True)
class Since:
    """Cards and labels to replace, by language, and what moved since the run `since` (empty: nothing is recorded).

    `new_languages` are those of which no card is recorded; `without_labels` those of which cards are, and no labels.

    Figures and inputs are listed side by side; `kitdocs plan --set` shows which input moved which figure.
    """

    since: str
    date: str = ""
    by: str = ""
    replacements: Mapping[str, tuple[Replacement, ...]]
    labels: Mapping[str, tuple[LabelExchange, ...]] = field(default_factory=dict)
    figures: tuple[Moved, ...] = ()
    inputs: tuple[Moved, ...] = ()
    new_languages: tuple[str, ...] = ()
    without_labels: tuple[str, ...] = ()

    @property
    def current(self) -> bool:
        """Whether everything posted is as the handbook has it."""
        return not (self.replacements or self.labels)


def since_printed(practice: Practice, plan: Plan, handbooks: Sequence[Handbook], language: str = "") -> Since:
    """Return the changes since the oldest print run that is out of date, or since the last one when none is.

    With a `language`, only what is printed in it counts.
    """
    record = practice.printed
    found = {of: due for of, due in due_replacements(record, handbooks).items() if language in ("", of)}
    wanted = [handbook for handbook in handbooks if language in ("", handbook.language)]
    labels = {handbook.language: due for handbook in wanted if (due := label_exchanges(record, handbook))}
    name = _compared_run(record, found)
    if not name:
        return Since(since="", replacements=found, labels=labels)
    run = record.runs[name]
    languages, posted = [handbook.language for handbook in wanted], {of for _, of in record.posted}
    return Since(
        since=name,
        date=run.date,
        by=run.by,
        replacements=found,
        labels=labels,
        figures=moved(run.figures, figures_kept(plan)) if run.figures else (),
        inputs=moved(run.inputs, inputs_kept(practice)) if run.inputs else (),
        new_languages=tuple(each for each in languages if each not in posted),
        without_labels=tuple(each for each in languages if each in posted and each not in record.labels),
    )


def _compared_run(record: PrintRecord, found: Mapping[str, Sequence[Replacement]]) -> str:
    """Return the name of the run to compare figures with, or the last one where none has any.

    A run of labels alone, or one that only takes cards out, has none.
    """
    out_of_date = {
        record.posted[replacement.card, language].run
        for language, due in found.items()
        for replacement in due
        if (replacement.card, language) in record.posted
    }
    with_figures = [name for name in record.in_order if record.runs[name].figures]
    return next((name for name in with_figures if name in out_of_date), (with_figures or ["", *record.in_order])[-1])


def for_print(since: Since, handbooks: Sequence[Handbook]) -> list[tuple[Handbook, tuple[Replacement, ...]]]:
    """Return the handbooks with cards or labels to replace.

    Cards of a language that is no longer printed come with the first handbook: they are only taken out.
    """
    languages = [handbook.language for handbook in handbooks]
    orphans = tuple(card for language, due in since.replacements.items() if language not in languages for card in due)
    by_handbook = [
        (handbook, since.replacements.get(handbook.language, ()) + (orphans if n == 0 else ()))
        for n, handbook in enumerate(handbooks)
    ]
    return [(handbook, due) for handbook, due in by_handbook if due or since.labels.get(handbook.language)]
