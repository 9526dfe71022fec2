"""The plan as tables: what to buy, what to own, loads, what is used up, and a sheet for counting."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from kitdocs.document.catalog import catalog_for
from kitdocs.document.table import Column, Kind, Table, Tables, Value
from kitdocs.handbook.brief import Brief
from kitdocs.planning.buying.supplies import supply_name
from kitdocs.planning.figure import Number
from kitdocs.planning.measures.loads import LoadGuide, LoadRow
from kitdocs.planning.plan import Plan
from kitdocs.practice.message import Clock, message
from kitdocs.practice.model import Practice
from kitdocs.practice.values import Text
from kitdocs.report.amounts import unit_text


def plan_tables(practice: Practice, plan: Plan, *, language: str = "") -> Tables:
    """Return every table in one language, the practice's first by default, with the numbers of the plan's figures.

    Raises `KitdocsError` when neither kitdocs nor the practice speaks the language.
    """
    settings = practice.settings
    words = catalog_for(language or settings.languages[0], practice.words)
    brief = Brief(practice=practice, plan=plan, words=words)
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


def _table(
    brief: Brief, name: str, columns: tuple[Column, ...], rows: Iterator[tuple[Value, ...]], *, landscape: bool = False
) -> Table:
    title, tab = brief.words(f"tables.{name}.title"), brief.words(f"tables.{name}.tab")
    return Table(name=name, title=title, tab=tab, columns=columns, rows=tuple(rows), landscape=landscape)


def _column(
    brief: Brief, id_: str, unit: str = "", kind: Kind = "text", *, formula: str = "", total: bool = False
) -> Column:
    """Return a column; `unit` is a sign, or names a word of tables.yaml."""
    words = brief.words
    named = words(f"tables.unit.{unit}") if f"tables.unit.{unit}" in words.sentences else unit
    return Column(id=id_, name=words(f"tables.column.{id_}"), unit=named, kind=kind, formula=formula, total=total)


def _count(brief: Brief, id_: str, unit: str = "pieces", *, formula: str = "", total: bool = False) -> Column:
    return _column(brief, id_, unit, "count", formula=formula, total=total)


def _kind(brief: Brief, kind: str) -> str:
    return brief.words(f"tables.kind.{kind}")


def _order_list(brief: Brief) -> Table:
    """Return every instrument and cassette; what must be bought comes first."""
    currency = brief.practice.settings.currency
    columns = (
        _column(brief, "id"),
        _column(brief, "name"),
        _column(brief, "kind"),
        _count(brief, "in-sets"),
        _count(brief, "in-pouches"),
        _count(brief, "spares"),
        _count(brief, "needed", formula="{in-sets} + {in-pouches} + {spares}"),
        _count(brief, "owned"),
        _count(brief, "in-repair"),
        _count(brief, "to-buy", formula="MAX(0, {needed} - {owned})", total=True),
        _count(brief, "surplus", formula="MAX(0, {owned} - {needed})"),
        _column(brief, "price", currency, "money"),
        # A kind without a price costs something nobody knows: its total stays empty, as its price does.
        _column(
            brief,
            "cost",
            currency,
            "money",
            formula='IF(AND({price} = "", {to-buy} > 0), "", {to-buy} * {price})',
            total=True,
        ),
        _column(brief, "reason", kind="long-text"),
    )
    rows: Iterator[tuple[Value, ...]] = (
        (
            line.id,
            brief.say(line.name),
            _kind(brief, line.kind),
            line.in_sets,
            line.in_pouches,
            line.spares,
            line.need,
            line.owned,
            line.in_repair,
            line.buy,
            line.surplus,
            line.price,
            line.total,
            brief.words.say(line.why),
        )
        for line in sorted(brief.plan.orders.lines, key=lambda line: not line.buy)
    )
    return _table(brief, "order-list", columns, rows, landscape=True)


def _stock(brief: Brief) -> Table:
    columns = (
        _column(brief, "id"),
        _column(brief, "name"),
        _column(brief, "kind"),
        _column(brief, "code"),
        _count(brief, "out-at-once"),
        _count(brief, "in-drawers"),
        _count(brief, "beyond-drawers"),
        _count(brief, "spares"),
        _count(brief, "to-own", formula="{out-at-once} + {in-drawers} + {beyond-drawers} + {spares}"),
        _column(brief, "taken", "pieces", "number"),
        _column(brief, "away", "min", "number"),
    )
    return _table(brief, "stock", columns, _stock_rows(brief), landscape=True)


def _stock_rows(brief: Brief) -> Iterator[tuple[Value, ...]]:
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
    columns = (
        _column(brief, "chair-id"),
        _column(brief, "chair"),
        _column(brief, "colour"),
        _column(brief, "pouch-id"),
        _column(brief, "pouch"),
        _count(brief, "in-drawer", "pouches", total=True),
        _count(brief, "computed", "pouches"),
        replace(_column(brief, "opened", "pouches", "number"), digits=2),
    )
    rows: Iterator[tuple[Value, ...]] = (
        (
            par.chair,
            brief.chair(par.chair),
            brief.say(brief.practice.chairs[par.chair].colour.name),
            par.pouch,
            brief.pouch(par.pouch),
            par.par,
            par.computed,
            par.opened_per_day,
        )
        for par in brief.plan.days.pars.values()
    )
    return _table(brief, "drawers", columns, rows)


def _loads(brief: Brief) -> Table:
    columns = (
        _column(brief, "id"),
        _column(brief, "name"),
        _column(brief, "kind"),
        _count(brief, "units", ""),
        _column(brief, "loads-mean", "loads", "number"),
        _count(brief, "loads-most", "loads"),
        _column(brief, "at-work", "%", "number"),
        _column(brief, "wait-mean", "min", "number"),
        _column(brief, "wait-most", "min", "number"),
    )
    rows: Iterator[tuple[Value, ...]] = (
        (
            stage.id,
            brief.say(brief.practice.room.stages[stage.id].name),
            _kind(brief, stage.kind),
            stage.units or None,
            stage.loads.mean if stage.loads else None,
            stage.loads.high if stage.loads else None,
            stage.utilisation * 100 if stage.units else None,
            stage.wait.mean / 60 if stage.units else None,
            stage.wait.high / 60 if stage.units else None,
        )
        for stage in brief.plan.days.stages.values()
    )
    return _table(brief, "loads", columns, rows, landscape=True)


def _load_guide(brief: Brief) -> Table:
    """Return one row a load: the cassettes, and then as many of one of the pouch sizes, whichever."""
    practice, guides = brief.practice, brief.plan.load_guides
    kinds = {kind for guide in guides for kind in guide.points}
    cassettes = [kind for kind in practice.cassettes if kind in kinds]
    sizes = [size for size in practice.room.pouch_sizes if size in kinds]
    columns = (
        _column(brief, "machine-id"),
        _column(brief, "machine"),
        *(_of_kind(brief, "cassette", c, "cassettes", practice.cassettes[c].name) for c in cassettes),
        *(
            _of_kind(brief, "or-pouch" if n else "then-pouch", size, "pouches", practice.room.pouch_sizes[size].name)
            for n, size in enumerate(sizes)
        ),
    )
    rows: Iterator[tuple[Value, ...]] = (
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


def _of_kind(brief: Brief, key: str, id_: str, unit: str, name: Text) -> Column:
    """Return a column for one of the practice's own cassettes or pouch sizes."""
    words = brief.words
    return Column(
        id=id_, name=words(f"tables.load-guide.{key}", kind=name), unit=words(f"tables.unit.{unit}"), kind="count"
    )


def _load_rows(guide: LoadGuide) -> Iterator[LoadRow]:
    """Yield each load once, though it be full of cassettes and have room for pouches."""
    seen: set[tuple[tuple[str, int], ...]] = set()
    for row in (*guide.full_of_cassettes, *guide.cassettes_and_pouches):
        mix = tuple(sorted((kind, count) for kind, count in row.cassettes.items() if count))
        if mix not in seen:
            seen.add(mix)
            yield row


def _consumables(brief: Brief) -> Table:
    currency = brief.practice.settings.currency
    columns = (
        _column(brief, "id"),
        _column(brief, "name"),
        _column(brief, "kind"),
        _column(brief, "unit"),
        replace(_column(brief, "used", "units", "number"), digits=2),
        _column(brief, "used-until", "units", "number"),
        _count(brief, "order-at", "units"),
        _count(brief, "pack", "units"),
        _count(brief, "boxes", "boxes", formula="ROUNDUP({order-at} / {pack}, 0)"),
        _column(brief, "box-price", currency, "money"),
        _column(brief, "day-cost", currency, "money", total=True),
        _column(brief, "reason", kind="long-text"),
    )
    rows: Iterator[tuple[Value, ...]] = (
        (
            use.id,
            brief.words.say(supply_name(brief.practice, use)),
            _kind(brief, use.kind),
            unit_text(brief.words, message(f"figures.unit.{use.unit}")),
            use.per_day,
            use.in_lead_time,
            use.reorder_at,
            use.pack,
            use.boxes_at_reorder,
            use.pack_price,
            use.cost_per_day,
            brief.words.say(use.why),
        )
        for use in brief.plan.supplies
    )
    return _table(brief, "consumables", columns, rows, landscape=True)


def _count_sheet(brief: Brief) -> Table:
    """Return what the folder says is there today, with room to write what is counted."""
    columns = (
        _column(brief, "id"),
        _column(brief, "name"),
        _column(brief, "kind"),
        _count(brief, "written-on-hand"),
        _count(brief, "written-in-repair"),
        *(replace(_count(brief, f"counted-{where}"), fill_in=True) for where in ("on-hand", "in-repair")),
    )
    return _table(brief, "count-sheet", columns, _to_count(brief))


def _to_count(brief: Brief) -> Iterator[tuple[Value, ...]]:
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
    columns = (
        _column(brief, "id"),
        _column(brief, "section"),
        _column(brief, "figure", kind="long-text"),
        _column(brief, "value", "see-unit", "any"),
        _column(brief, "unit"),
        _column(brief, "reason", kind="long-text"),
    )
    rows: Iterator[tuple[Value, ...]] = (
        (
            figure.id,
            words(f"report.reasons.section.{figure.section}"),
            words.say(figure.name),
            _figure_value(brief, figure.value),
            unit_text(words, figure.unit),
            words.say(figure.why),
        )
        for figure in brief.plan.figures
    )
    return _table(brief, "figures", columns, rows, landscape=True)


def _figure_value(brief: Brief, value: Number) -> Value:
    return brief.words.say(value) if isinstance(value, Clock) else value
