"""A group as tables for a spreadsheet: the comparison, the differences, the transfers, one order list, the problems."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from kitdocs.document.catalog import built_in_catalog
from kitdocs.document.table import Column, Kind, Table, Tables, Value
from kitdocs.group.comparison import MEASURES, Measure
from kitdocs.group.result import Group
from kitdocs.group.told import Told

#: What has no price costs something nobody knows: it stays empty.
_COST = 'IF({price} = "", "", {pieces} * {price})'
_KINDS: dict[str, Kind] = {"count": "count", "number": "number", "money": "number", "minutes": "number"}


def group_tables(group: Group) -> tuple[Tables, ...]:
    """Return every table of a group in each of its languages."""
    return tuple(_tables(Told(group, built_in_catalog(language))) for language in group.languages)


def _tables(told: Told) -> Tables:
    group, words = told.group, told.words
    made = (_comparison(told), _differences(told), _transfers(told), _order(told), _problems(told))
    return Tables(
        practice=group.title,
        title=words("group.title", group=group.title),
        folder="" if words.language == group.languages[0] else f"{words.language}/",
        total=words("tables.total"),
        paper="letter",
        currency=group.currencies[0] if group.currencies else "",
        tables=tuple(table.rounded() for table in made),
    )


def _table(told: Told, name: str, columns: Iterable[Column], rows: Iterable[tuple[Value, ...]]) -> Table:
    words = told.words
    return Table(
        name=name,
        title=words(f"group.{name}.title"),
        tab=words(f"group.{name}.tab"),
        columns=tuple(columns),
        rows=tuple(rows),
        landscape=True,
    )


def _column(told: Told, name: str, kind: Kind = "text", unit: str = "") -> Column:
    return Column(id=name, name=told.words(f"group.column.{name}"), kind=kind, unit=unit)


def _comparison(told: Told) -> Table:
    """One row a practice, with every figure; money in the currency that its row names."""
    group = told.group
    columns = [
        *(_column(told, name) for name in ("practice", "name", "currency")),
        *(_measured(told, measure) for measure in MEASURES),
    ]
    rows = (
        (name, told.practice(name), summary.currency, *(_value(told, m, m.of(summary)) for m in MEASURES.values()))
        for name, summary in group.compared.items()
    )
    return _table(told, "compare", columns, rows)


def _measured(told: Told, measure: str) -> Column:
    form = MEASURES[measure].form
    unit = {"minutes": "min", "share": "%"}.get(form, "")
    kind = _KINDS.get(form, "number" if form == "share" else "text")
    return Column(id=measure, name=told.name(measure), unit=unit, kind=kind, digits=2)


def _value(told: Told, measure: Measure, value: float | None) -> Value:
    if value is None:
        return None
    if measure.form == "clock":
        return told.figure(measure.id, value)
    return int(value) if measure.form == "count" else 100 * value if measure.form == "share" else value


def _differences(told: Told) -> Table:
    columns = [_column(told, "practice"), _column(told, "name")]
    columns += [_column(told, "differs", "long-text"), _column(told, "why", "long-text")]
    rows = (
        (each.practice, told.practice(each.practice), told.difference(each), told.why(each))
        for each in told.group.differences
    )
    return _table(told, "differ", columns, rows)


def _transfers(told: Told) -> Table:
    columns = [
        *(_column(told, name) for name in ("id", "name", "kind")),
        _column(told, "pieces", "count"),
        *(_column(told, name) for name in ("giver", "taker")),
        _column(told, "price", "money"),
        Column(id="saves", name=told.words("group.column.saves"), kind="money", formula=_COST),
        _column(told, "currency"),
    ]
    rows = (
        (
            *(each.id, each.name.in_language(told.words.language), told.words(f"tables.kind.{each.kind}"), each.pieces),
            *(told.practice(each.giver), told.practice(each.taker), each.price, each.saves, each.currency),
        )
        for each in told.group.exchange.transfers
    )
    return _table(told, "transfers", columns, rows)


def _order(told: Told) -> Table:
    """One row a kind and practice, so that a filter gives each practice's part; the pieces of a kind add up."""
    columns = [
        *(_column(told, name) for name in ("id", "name", "kind", "whom")),
        _column(told, "pieces", "count"),
        _column(told, "price", "money"),
        Column(id="cost", name=told.words("group.column.cost"), kind="money", formula=_COST),
        _column(told, "currency"),
    ]
    return _table(told, "order", columns, _order_rows(told))


def _order_rows(told: Told) -> Iterator[tuple[Value, ...]]:
    for line in told.group.exchange.orders:
        for share in line.shares:
            cost = None if share.price is None else share.price * share.pieces
            yield (
                *(line.id, line.name.in_language(told.words.language), told.words(f"tables.kind.{line.kind}")),
                *(told.practice(share.practice), share.pieces, share.price, cost, share.currency),
            )


def _problems(told: Told) -> Table:
    columns = [_column(told, "practice"), _column(told, "severity"), _column(told, "place")]
    columns += [_column(told, "problem", "long-text"), _column(told, "remedy", "long-text")]
    return _table(told, "wrong", columns, _problem_rows(told))


def _problem_rows(told: Told) -> Iterator[tuple[Value, ...]]:
    say = told.words.say
    for name, worked in told.group.practices.items():
        for problem in worked.problems:
            if not problem.accepted:
                severity = told.words(f"group.severity.{problem.severity}")
                yield name, severity, str(problem.place), say(problem.message), say(problem.remedy)
        if worked.failed:
            yield name, told.words("group.severity.error"), "", worked.failed, ""
