"""The plan as tables: what to buy, what to own, loads, what is used up, and a sheet for counting."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any, TypeAlias, TypeVar

from kitdocs.document.table import Column, Kind, Table, Tables, Value
from kitdocs.handbook.brief import Brief, brief_for
from kitdocs.planning.buying.orders import OrderLine
from kitdocs.planning.buying.supplies import SupplyUse, supply_name
from kitdocs.planning.day.par import Par
from kitdocs.planning.day.turnaround import StageDay
from kitdocs.planning.figure import Figure
from kitdocs.planning.measures.loads import LoadGuide, LoadRow
from kitdocs.planning.plan import Plan
from kitdocs.practice.message import Clock, message
from kitdocs.practice.model import Practice
from kitdocs.report.amounts import unit_text

T = TypeVar("T")
Row: TypeAlias = tuple[Value, ...]
Fields: TypeAlias = Mapping[Column, Callable[[T], Value]]
"""The columns of a table, each with the value that a record has in it."""


def plan_tables(practice: Practice, plan: Plan, *, language: str = "") -> Tables:
    """Return every table in one language, the practice's first by default, with the numbers of the plan's figures.

    Raises `KitdocsError` when neither kitdocs nor the practice speaks the language.
    """
    settings, brief = practice.settings, brief_for(practice, plan, language)
    words = brief.words
    makers = (_order_list, _stock, _drawers, _loads, _load_guide, _consumables, _count_sheet, _figures)
    name = brief.say(settings.name)
    return Tables(
        practice=name,
        title=words("tables.book", practice=name),
        folder="" if words.language == settings.languages[0] else f"{words.language}/",
        total=words("tables.total"),
        paper=settings.paper,
        currency=settings.currency,
        tables=tuple(make(brief).rounded() for make in makers),
    )


def make_tables(practice: Practice, plan: Plan) -> tuple[Tables, ...]:
    """Return every table in each language of the practice."""
    return tuple(plan_tables(practice, plan, language=language) for language in practice.settings.languages)


def _listed(brief: Brief, name: str, records: Iterable[T], fields: Fields[T], *, landscape: bool = False) -> Table:
    rows = (tuple(value(record) for value in fields.values()) for record in records)
    return _table(brief, name, fields, rows, landscape=landscape)


def _table(
    brief: Brief, name: str, columns: Iterable[Column], rows: Iterable[Row], *, landscape: bool = False
) -> Table:
    return Table(
        name=name,
        title=brief.words(f"tables.{name}.title"),
        tab=brief.words(f"tables.{name}.tab"),
        columns=tuple(_named(brief, column) for column in columns),
        rows=tuple(rows),
        landscape=landscape,
    )


def _named(brief: Brief, column: Column) -> Column:
    """Return a column with its name and its unit in words; a unit that is no word of tables.yaml is a sign."""
    words, unit = brief.words, f"tables.unit.{column.unit}"
    name = column.name or words(f"tables.column.{column.id}")
    return replace(column, name=name, unit=words(unit) if unit in words.sentences else column.unit)


def _column(id_: str, unit: str = "", kind: Kind = "text", *, name: str = "", **more: Any) -> Column:
    return Column(id=id_, name=name, unit=unit, kind=kind, **more)


def _count(id_: str, unit: str = "pieces", **more: Any) -> Column:
    return _column(id_, unit, "count", **more)


def _kind(brief: Brief, kind: str) -> str:
    return brief.words(f"tables.kind.{kind}")


def _order_list(brief: Brief) -> Table:
    """Return every instrument and cassette; what must be bought comes first."""
    currency = brief.practice.settings.currency
    # A kind without a price costs something nobody knows: its total stays empty, as its price does.
    cost = 'IF(AND({price} = "", {to-buy} > 0), "", {to-buy} * {price})'
    fields: Fields[OrderLine] = {
        _column("id"): lambda line: line.id,
        _column("name"): lambda line: brief.say(line.name),
        _column("kind"): lambda line: _kind(brief, line.kind),
        _count("in-sets"): lambda line: line.in_sets,
        _count("in-pouches"): lambda line: line.in_pouches,
        _count("spares"): lambda line: line.spares,
        _count("needed", formula="{in-sets} + {in-pouches} + {spares}"): lambda line: line.need,
        _count("owned"): lambda line: line.owned,
        _count("in-repair"): lambda line: line.in_repair,
        _count("to-buy", formula="MAX(0, {needed} - {owned})", total=True): lambda line: line.buy,
        _count("surplus", formula="MAX(0, {owned} - {needed})"): lambda line: line.surplus,
        _column("price", currency, "money"): lambda line: line.price,
        _column("cost", currency, "money", formula=cost, total=True): lambda line: line.total,
        _column("reason", kind="long-text"): lambda line: brief.words.say(line.why),
    }
    lines = sorted(brief.plan.orders.lines, key=lambda line: not line.buy)
    return _listed(brief, "order-list", lines, fields, landscape=True)


def _stock(brief: Brief) -> Table:
    columns = (
        *map(_column, ("id", "name", "kind", "code")),
        *map(_count, ("out-at-once", "in-drawers", "beyond-drawers", "spares")),
        _count("to-own", formula="{out-at-once} + {in-drawers} + {beyond-drawers} + {spares}"),
        _column("taken", "pieces", "number"),
        _column("away", "min", "number"),
    )
    return _table(brief, "stock", columns, _stock_rows(brief), landscape=True)


def _stock_rows(brief: Brief) -> Iterator[Row]:
    practice, days = brief.practice, brief.plan.days
    for id_, stock in (*days.sets.items(), *days.add_ons.items()):
        is_set = id_ in practice.sets
        record = practice.sets[id_] if is_set else practice.pouches[id_]
        yield (
            id_, brief.say(record.name), _kind(brief, "set" if is_set else "add-on"), record.code, stock.needed, None,
            None, stock.spares, stock.own, stock.taken_per_day, stock.away.mean / 60,
        )  # fmt: skip
    for id_, pouch in days.drawer_pouches.items():
        record = practice.pouches[id_]
        yield (
            id_, brief.say(record.name), _kind(brief, "drawer"), record.code, None, pouch.par, pouch.needed_beyond,
            pouch.spares, pouch.own, pouch.opened_per_day, None,
        )  # fmt: skip


def _drawers(brief: Brief) -> Table:
    fields: Fields[Par] = {
        _column("chair-id"): lambda par: par.chair,
        _column("chair"): lambda par: brief.chair(par.chair),
        _column("colour"): lambda par: brief.say(brief.practice.chairs[par.chair].colour.name),
        _column("pouch-id"): lambda par: par.pouch,
        _column("pouch"): lambda par: brief.pouch(par.pouch),
        _count("in-drawer", "pouches", total=True): lambda par: par.par,
        _count("computed", "pouches"): lambda par: par.computed,
        _column("opened", "pouches", "number", digits=2): lambda par: par.opened_per_day,
    }
    return _listed(brief, "drawers", brief.plan.days.pars.values(), fields)


def _loads(brief: Brief) -> Table:
    stages = brief.practice.room.stages
    fields: Fields[StageDay] = {
        _column("id"): lambda stage: stage.id,
        _column("name"): lambda stage: brief.say(stages[stage.id].name),
        _column("kind"): lambda stage: _kind(brief, stage.kind),
        _count("units", ""): lambda stage: stage.units or None,
        _column("loads-mean", "loads", "number"): lambda stage: stage.loads.mean if stage.loads else None,
        _count("loads-most", "loads"): lambda stage: stage.loads.high if stage.loads else None,
        _column("at-work", "%", "number"): lambda stage: stage.utilisation * 100 if stage.units else None,
        _column("wait-mean", "min", "number"): lambda stage: stage.wait.mean / 60 if stage.units else None,
        _column("wait-most", "min", "number"): lambda stage: stage.wait.high / 60 if stage.units else None,
    }
    return _listed(brief, "loads", brief.plan.days.stages.values(), fields, landscape=True)


def _load_guide(brief: Brief) -> Table:
    """Return one row a load: the cassettes, and then as many of one of the pouch sizes, whichever."""
    practice, guides, words = brief.practice, brief.plan.load_guides, brief.words
    kinds = {kind for guide in guides for kind in guide.points}
    cassettes = {id_: record.name for id_, record in practice.cassettes.items() if id_ in kinds}
    sizes = {id_: record.name for id_, record in practice.room.pouch_sizes.items() if id_ in kinds}
    columns = (
        *map(_column, ("machine-id", "machine")),
        *(_count(c, "cassettes", name=words("tables.load-guide.cassette", kind=cassettes[c])) for c in cassettes),
        *(
            _count(s, "pouches", name=words(f"tables.load-guide.{'or' if n else 'then'}-pouch", kind=sizes[s]))
            for n, s in enumerate(sizes)
        ),
    )
    rows = (
        (
            guide.stage,
            brief.say(practice.room.stages[guide.stage].name),
            *(row.cassettes.get(c, 0) if c in guide.points else None for c in cassettes),
            *(row.pouches.get(s, 0) if s in guide.points else None for s in sizes),
        )
        for guide in guides
        for row in _load_rows(guide)
    )
    return _table(brief, "load-guide", columns, rows)


def _load_rows(guide: LoadGuide) -> Iterator[LoadRow]:
    """Yield each load once, though it be full of cassettes and have room for pouches."""
    seen: set[tuple[tuple[str, int], ...]] = set()
    for row in (*guide.full_of_cassettes, *guide.cassettes_and_pouches):
        mix = tuple(sorted((kind, count) for kind, count in row.cassettes.items() if count))
        if mix not in seen:
            seen.add(mix)
            yield row


def _consumables(brief: Brief) -> Table:
    currency, words = brief.practice.settings.currency, brief.words
    fields: Fields[SupplyUse] = {
        _column("id"): lambda use: use.id,
        _column("name"): lambda use: words.say(supply_name(brief.practice, use)),
        _column("kind"): lambda use: _kind(brief, use.kind),
        _column("unit"): lambda use: unit_text(words, message(f"figures.unit.{use.unit}")),
        _column("used", "units", "number", digits=2): lambda use: use.per_day,
        _column("used-until", "units", "number"): lambda use: use.in_lead_time,
        _count("order-at", "units"): lambda use: use.reorder_at,
        _count("pack", "units"): lambda use: use.pack,
        _count("boxes", "boxes", formula="ROUNDUP({order-at} / {pack}, 0)"): lambda use: use.boxes_at_reorder,
        _column("box-price", currency, "money"): lambda use: use.pack_price,
        _column("day-cost", currency, "money", total=True): lambda use: use.cost_per_day,
        _column("reason", kind="long-text"): lambda use: words.say(use.why),
    }
    return _listed(brief, "consumables", brief.plan.supplies, fields, landscape=True)


def _count_sheet(brief: Brief) -> Table:
    """Return what the folder says is there today, with room to write what is counted."""
    columns = (
        *map(_column, ("id", "name", "kind")),
        *map(_count, ("written-on-hand", "written-in-repair")),
        *(_count(f"counted-{where}", fill_in=True) for where in ("on-hand", "in-repair")),
    )
    return _table(brief, "count-sheet", columns, _to_count(brief))


def _to_count(brief: Brief) -> Iterator[Row]:
    practice = brief.practice
    for id_, instrument in practice.instruments.items():
        stock = practice.stock.get(id_)
        on_hand, in_repair = (stock.on_hand, stock.in_repair) if stock else (None, None)
        yield (id_, brief.say(instrument.name), _kind(brief, "instrument"), on_hand, in_repair, None, None)
    for id_, cassette in practice.cassettes.items():
        yield (id_, brief.say(cassette.name), _kind(brief, "cassette"), cassette.on_hand, None, None, None)
    for id_, pouch in practice.pouches.items():
        yield (id_, brief.say(pouch.name), _kind(brief, "packed-pouch"), pouch.on_hand, None, None, None)


def _figures(brief: Brief) -> Table:
    """Return every figure, whatever its unit; a value that is a number stays one."""
    words = brief.words
    fields: Fields[Figure] = {
        _column("id"): lambda figure: figure.id,
        _column("section"): lambda figure: words(f"report.reasons.section.{figure.section}"),
        _column("figure", kind="long-text"): lambda figure: words.say(figure.name),
        _column("value", "see-unit", "any"): lambda figure: (
            words.say(figure.value) if isinstance(figure.value, Clock) else figure.value
        ),
        _column("unit"): lambda figure: unit_text(words, figure.unit),
        _column("reason", kind="long-text"): lambda figure: words.say(figure.why),
    }
    return _listed(brief, "figures", brief.plan.figures, fields, landscape=True)
