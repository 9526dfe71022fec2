"""A group as cards: side by side, what differs and why, what moves, what is ordered together, what is wrong."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kitdocs.document.blocks import Block, Matrix, said
from kitdocs.document.card import Card, Handbook
from kitdocs.document.catalog import built_in_catalog
from kitdocs.document.edition import with_edition
from kitdocs.group.comparison import FEWEST, MEASURES
from kitdocs.group.result import Group
from kitdocs.group.told import Told
from kitdocs.group.work import WorkedOn
from kitdocs.handbook.layout import CellText, table
from kitdocs.practice.problems import Problem

#: The figures of each table of the comparison.
TABLES = {
    "sets": ("chairs", "visits", "visits-per-chair", "sets", "sets-per-chair", "sets-per-ten-visits"),
    "money": ("value", "value-per-chair", "value-per-visit", "value-per-set", "to-buy"),
    "day": ("walks", "walks-per-ten-visits", "turnaround", "ends", "after-closing", "left-over-night"),
    "promise": ("asked", "kept"),
}
#: So many transfers are listed on the page; the tables list all.
_MOST_MOVES = 200
#: So many problems of one practice are listed.
_MOST_PROBLEMS = 20


def group_books(group: Group) -> tuple[Handbook, ...]:
    """Return the cards of a group in each of its languages."""
    return tuple(_book(group, language) for language in group.languages)


def _book(group: Group, language: str) -> Handbook:
    told = Told(group, built_in_catalog(language))
    cards = [_wrong(told), _compared(told), _differing(told), _moving(told), _ordered(told)]
    return Handbook(
        practice=group.title,
        language=language,
        words=told.words,
        languages=group.languages,
        paper="letter",
        cards=tuple(with_edition(card) for card in cards if card),
    )


def _card(told: Told, name: str, blocks: Sequence[Block]) -> Card:
    words = told.words
    section = words("group.section")
    title = words(f"group.{name}.title")
    return Card(id=name, kind="plan", form="page", title=title, section=section, front=tuple(blocks))


def _wrong(told: Told) -> Card | None:
    """Return the practices that have errors, with each; nothing where all is well."""
    bad = [worked for worked in told.group.practices.values() if not worked.is_good]
    if not bad:
        return None
    head = told.words.each("group.wrong.head", "where", "what")
    blocks = [table(told.practice(worked.name), head, _problem_rows(told, worked)) for worked in bad]
    return _card(told, "wrong", (said(told.words("group.wrong.text")), *blocks))


def _problem_rows(told: Told, worked: WorkedOn) -> list[tuple[CellText, ...]]:
    errors = [problem for problem in worked.problems if problem.severity == "error"]
    rows: list[tuple[CellText, ...]] = [_problem_row(told, problem) for problem in errors[:_MOST_PROBLEMS]]
    if len(errors) > _MOST_PROBLEMS:
        rows.append(("…", told.words.count("group.wrong.more", len(errors) - _MOST_PROBLEMS)))
    return [*rows, *([(worked.name, worked.failed)] if worked.failed else [])]


def _problem_row(told: Told, problem: Problem) -> tuple[CellText, ...]:
    place = problem.place
    where = f"{place.file}:{place.line}" + (f", {place.also}" if place.also else "")
    remedy = told.words.say(problem.remedy)
    return where, " ".join(filter(None, (f"{told.words.say(problem.message)}.", f"{remedy}." if remedy else "")))


def _compared(told: Told) -> Card | None:
    """Return the figures of all practices, each beside those of the others."""
    if not told.group.compared:
        return None
    return _card(told, "compare", (said(told.words("group.compare.text")), *_tables(told)))


def _tables(told: Told) -> Iterator[Matrix]:
    group = told.group
    for name, measures in TABLES.items():
        head = (told.words("group.practice"), *(told.name(measure) for measure in measures))
        rows: list[tuple[CellText, ...]] = [
            (told.practice(p), *(told.figure(m, MEASURES[m].of(summary), summary.currency) for m in measures))
            for p, summary in group.compared.items()
        ]
        if len(rows) >= FEWEST:
            currency = group.currencies[0]
            middle = (told.figure(m, group.middle.get(m), currency) for m in measures)
            rows.append((told.words("group.middle"), *middle))
        yield table(told.words(f"group.compare.{name}"), head, rows, numbers=range(1, len(head)))


def _differing(told: Told) -> Card | None:
    """Return who lies far from the middle, and what goes with it; nothing for fewer than three practices."""
    group, words = told.group, told.words
    if len(group.compared) < FEWEST:
        return None
    head = words.each("group.differ.head", "what", "why")
    blocks = [
        table(told.practice(name), head, [(told.difference(each), told.why(each)) for each in mine])
        for name in group.compared
        if (mine := [each for each in group.differences if each.practice == name])
    ]
    alike = () if blocks else (said(words("group.differ.alike")),)
    return _card(told, "differ", (said(words("group.differ.text")), *alike, *blocks))


def _moving(told: Told) -> Card | None:
    """Return what one practice can give to another."""
    group, words = told.group, told.words
    if len(group.compared) < 2:
        return None
    moving = group.exchange.transfers
    saved = [words.money(group.exchange.saved(currency), currency) for currency in group.currencies]
    if not moving:
        return _card(told, "transfers", (said(words("group.transfers.none")),))
    head = words.each("group.transfers.head", "what", "pieces", "giver", "taker", "saves")
    rows = [
        (
            each.name.in_language(words.language),
            each.pieces,
            told.practice(each.giver),
            told.practice(each.taker),
            words.money(each.saves, each.currency) if each.saves is not None else "–",
        )
        for each in sorted(moving, key=lambda each: -(each.saves or 0))[:_MOST_MOVES]
    ]
    most = (words("group.transfers.most", listed=len(rows)),) if len(moving) > len(rows) else ()
    pieces = sum(each.pieces for each in moving)
    text = words.count("group.transfers.text", pieces, saved=" + ".join(saved))
    return _card(
        told, "transfers", (said(text, *most, words("group.transfers.care")), table("", head, rows, numbers=(1, 4)))
    )


def _ordered(told: Told) -> Card | None:
    """Return what all practices buy, in one list."""
    group, words = told.group, told.words
    orders, currencies = group.exchange.orders, group.currencies
    if not group.compared:
        return None
    if not orders:
        return _card(told, "order", (said(words("group.order.none")),))
    head = words.each("group.order.head", "what", "pieces", "cost", "whom")
    rows = [
        (
            line.name.in_language(words.language),
            line.pieces,
            " + ".join(words.money(cost, currency) for currency in currencies if (cost := line.cost(currency))) or "–",
            told.shares([(share.practice, share.pieces) for share in line.shares]),
        )
        for line in orders
    ]
    costs = " + ".join(words.money(group.exchange.cost(currency), currency) for currency in currencies)
    text = words.count("group.order.text", sum(line.pieces for line in orders), cost=costs)
    without = sum(line.without_price for line in orders)
    more = (words.count("group.order.without", without),) if without else ()
    return _card(told, "order", (said(text, *more), table("", head, rows, numbers=(1, 2))))
