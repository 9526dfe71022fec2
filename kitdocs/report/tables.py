"""The plan as tables: what to buy, what to own, loads, what is used up, and a sheet for counting."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from kitdocs.document.catalog import MessageCatalog, built_in_catalog
from kitdocs.document.table import Column, Table, Tables, Value
from kitdocs.planning.buying.supplies import supply_name
from kitdocs.planning.figure import Number
from kitdocs.planning.measures.loads import LoadGuide, LoadRow
from kitdocs.planning.plan import Plan
from kitdocs.practice.message import Clock
from kitdocs.practice.model import Practice
from kitdocs.report.amounts import unit_text

ID = Column(name="Id")
NAME = Column(name="Name")
REASON = Column(name="Reason", kind="long-text")


def plan_tables(practice: Practice, plan: Plan) -> Tables:
    """Every table, with the numbers of the plan's figures."""
    words = built_in_catalog("en")
    return Tables(
        practice=str(practice.settings.name),
        paper=practice.settings.paper,
        currency=practice.settings.currency,
        tables=tuple(
            table.rounded()
            for table in (
                _order_list(words, practice, plan),
                _stock(practice, plan),
                _drawers(practice, plan),
                _loads(practice, plan),
                _load_guide(practice, plan),
                _consumables(words, practice, plan),
                _count_sheet(practice),
                _figures(words, plan),
            )
        ),
    )


def _order_list(words: MessageCatalog, practice: Practice, plan: Plan) -> Table:
    """Every instrument and cassette; what must be bought comes first."""
    money = practice.settings.currency
    lines = sorted(plan.orders.lines, key=lambda line: not line.buy)
    return Table(
        name="order-list",
        title="Order list",
        landscape=True,
        columns=(
            ID,
            NAME,
            Column(name="Kind"),
            _count("In sets", "pieces"),
            _count("In pouches", "pieces"),
            _count("Spares", "pieces"),
            _count("Needed", "pieces", formula="{In sets} + {In pouches} + {Spares}"),
            _count("Owned", "pieces"),
            _count("Of these in repair", "pieces"),
            _count("To buy", "pieces", formula="MAX(0, {Needed} - {Owned})", total=True),
            _count("Surplus", "pieces", formula="MAX(0, {Owned} - {Needed})"),
            Column(name="Price", unit=money, kind="money"),
            # A kind without a price costs something nobody knows: its total stays empty, as its price does.
            Column(
                name="Total",
                unit=money,
                kind="money",
                formula='IF(AND({Price} = "", {To buy} > 0), "", {To buy} * {Price})',
                total=True,
            ),
            REASON,
        ),
        rows=tuple(
            (
                line.id,
                str(line.name),
                line.kind,
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
                words.say(line.why),
            )
            for line in lines
        ),
    )


def _stock(practice: Practice, plan: Plan) -> Table:
    return Table(
        name="stock",
        title="Sets and pouches to own",
        landscape=True,
        columns=(
            ID,
            NAME,
            Column(name="Kind"),
            Column(name="Code"),
            _count("Out at once", "pieces"),
            _count("In drawers", "pieces"),
            _count("Beyond the drawers", "pieces"),
            _count("Spares", "pieces"),
            _count(
                "To own",
                "pieces",
                formula="{Out at once} + {In drawers} + {Beyond the drawers} + {Spares}",
            ),
            Column(name="Taken a busy day", unit="pieces", kind="number"),
            Column(name="Away on average", unit="min", kind="number"),
        ),
        rows=tuple(_stock_rows(practice, plan)),
    )


def _stock_rows(practice: Practice, plan: Plan) -> Iterator[tuple[Value, ...]]:
    days = plan.days
    for id_, stock in (*days.sets.items(), *days.add_ons.items()):
        record = practice.sets[id_] if id_ in practice.sets else practice.pouches[id_]
        kind = "set" if id_ in practice.sets else "add-on pouch"
        minutes = stock.away.mean / 60
        yield (
            id_, str(record.name), kind, record.code, stock.needed, None, None, stock.spares, stock.own,
            stock.taken_per_day, minutes,
        )  # fmt: skip
    for id_, pouch in days.drawer_pouches.items():
        record = practice.pouches[id_]
        yield (
            id_, str(record.name), "drawer pouch", record.code, None, pouch.par, pouch.needed_beyond, pouch.spares,
            pouch.own, pouch.opened_per_day, None,
        )  # fmt: skip


def _drawers(practice: Practice, plan: Plan) -> Table:
    return Table(
        name="drawers",
        title="Pouches in the drawers at the chairs",
        columns=(
            Column(name="Chair id"),
            Column(name="Chair"),
            Column(name="Colour"),
            Column(name="Pouch id"),
            Column(name="Pouch"),
            _count("In the drawer", "pouches", total=True),
            _count("Computed", "pouches"),
            Column(name="Opened a busy day", unit="pouches", kind="number", digits=2),
        ),
        rows=tuple(
            (
                par.chair,
                str(practice.chairs[par.chair].name),
                str(practice.chairs[par.chair].colour.name),
                par.pouch,
                str(practice.pouches[par.pouch].name),
                par.par,
                par.computed,
                par.opened_per_day,
            )
            for par in plan.days.pars.values()
        ),
    )


def _loads(practice: Practice, plan: Plan) -> Table:
    stages = plan.days.stages.values()
    return Table(
        name="loads",
        title="The reprocessing room on a busy day",
        columns=(
            ID,
            NAME,
            Column(name="Kind"),
            _count("Machines or people"),
            Column(name="Loads a day, mean", unit="loads", kind="number"),
            _count("Loads a day, 95 % of days", "loads"),
            Column(name="At work", unit="%", kind="number"),
            Column(name="Waiting in front, mean", unit="min", kind="number"),
            Column(name="Waiting in front, 95 %", unit="min", kind="number"),
        ),
        landscape=True,
        rows=tuple(
            (
                stage.id,
                str(practice.room.stages[stage.id].name),
                stage.kind,
                stage.units or None,
                stage.loads.mean if stage.loads else None,
                stage.loads.high if stage.loads else None,
                stage.utilisation * 100 if stage.units else None,
                stage.wait.mean / 60 if stage.units else None,
                stage.wait.high / 60 if stage.units else None,
            )
            for stage in stages
        ),
    )


def _load_guide(practice: Practice, plan: Plan) -> Table:
    """One row a load: the cassettes, and then as many of one of the pouch sizes, whichever."""
    kinds = [kind for guide in plan.load_guides for kind in guide.points]
    cassettes = [kind for kind in practice.cassettes if kind in kinds]
    sizes = [size for size in practice.room.pouch_sizes if size in kinds]
    names = {
        **{c: str(practice.cassettes[c].name) for c in cassettes},
        **{s: str(practice.room.pouch_sizes[s].name) for s in sizes},
    }
    return Table(
        name="load-guide",
        title="What fits in one load: the cassettes of a row, then the pouches of one of its columns",
        columns=(
            Column(name="Machine id"),
            Column(name="Machine"),
            *(_count(names[c], "cassettes") for c in cassettes),
            *(_count(("or " if n else "then ") + names[s], "pouches") for n, s in enumerate(sizes)),
        ),
        rows=tuple(
            (
                guide.stage,
                str(practice.room.stages[guide.stage].name),
                *(row.cassettes.get(c, 0) if c in guide.points else None for c in cassettes),
                *(row.pouches.get(s, 0) if s in guide.points else None for s in sizes),
            )
            for guide in plan.load_guides
            for row in _load_rows(guide)
        ),
    )


def _load_rows(guide: LoadGuide) -> Iterator[LoadRow]:
    """Each load once, though it be full of cassettes and have room for pouches."""
    seen: set[tuple[tuple[str, int], ...]] = set()
    for row in (*guide.full_of_cassettes, *guide.cassettes_and_pouches):
        mix = tuple(sorted((kind, count) for kind, count in row.cassettes.items() if count))
        if mix not in seen:
            seen.add(mix)
            yield row


def _consumables(words: MessageCatalog, practice: Practice, plan: Plan) -> Table:
    money = practice.settings.currency
    return Table(
        name="consumables",
        title="What is used up, and when to order again",
        landscape=True,
        columns=(
            ID,
            NAME,
            Column(name="Kind"),
            Column(name="Unit"),
            Column(name="Used a busy day", unit="units", kind="number", digits=2),
            Column(name="Used until an order comes", unit="units", kind="number"),
            _count("Order when left", "units"),
            _count("In a box", "units"),
            _count("Order when left, whole", "boxes", formula="ROUNDUP({Order when left} / {In a box}, 0)"),
            Column(name="Price of a box", unit=money, kind="money"),
            Column(name="Cost a busy day", unit=money, kind="money", total=True),
            REASON,
        ),
        rows=tuple(
            (
                use.id,
                words.say(supply_name(practice, use)),
                use.kind.replace("-", " "),
                use.unit,
                use.per_day,
                use.in_lead_time,
                use.reorder_at,
                use.pack,
                use.boxes_at_reorder,
                use.pack_price,
                use.cost_per_day,
                words.say(use.why),
            )
            for use in plan.supplies
        ),
    )


def _count_sheet(practice: Practice) -> Table:
    """For taking stock: what the folder says today, and room to write what is there."""
    return Table(
        name="count-sheet",
        title="Count sheet: count everything, in sets, pouches, drawers and the repair bin too",
        columns=(
            ID,
            NAME,
            Column(name="Kind"),
            _count("Written: on hand", "pieces"),
            _count("Written: in repair", "pieces"),
            Column(name="Counted: on hand", unit="pieces", kind="count", fill_in=True),
            Column(name="Counted: in repair", unit="pieces", kind="count", fill_in=True),
        ),
        rows=(*_instruments_to_count(practice), *_packs_to_count(practice)),
    )


def _instruments_to_count(practice: Practice) -> Iterator[tuple[Value, ...]]:
    for id_, instrument in practice.instruments.items():
        stock = practice.stock.get(id_)
        on_hand, in_repair = (stock.on_hand, stock.in_repair) if stock else (None, None)
        yield (id_, str(instrument.name), "instrument", on_hand, in_repair, None, None)


def _packs_to_count(practice: Practice) -> Iterator[tuple[Value, ...]]:
    for id_, cassette in practice.cassettes.items():
        yield (id_, str(cassette.name), "cassette", cassette.on_hand, None, None, None)
    for id_, pouch in practice.pouches.items():
        yield (id_, str(pouch.name), "packed pouch", pouch.on_hand, None, None, None)


def _figures(words: MessageCatalog, plan: Plan) -> Table:
    """Every figure, whatever its unit; a value that is a number stays one."""
    return Table(
        name="figures",
        title="Every figure and why",
        landscape=True,
        columns=(
            ID,
            Column(name="Section"),
            Column(name="Figure", kind="long-text"),
            Column(name="Value", unit="see Unit", kind="any"),
            Column(name="Unit"),
            REASON,
        ),
        rows=tuple(
            (
                figure.id,
                figure.section,
                words.say(figure.name),
                _figure_value(figure.value),
                unit_text(words, figure.unit),
                words.say(figure.why),
            )
            for figure in plan.figures
        ),
    )


def _figure_value(value: Number) -> Value:
    """A sum of money is kept as a text in a figure; in a table it is a number."""
    if isinstance(value, str):
        try:
            return Decimal(value)
        except ArithmeticError:
            return value
    return str(value) if isinstance(value, Clock) else value


def _count(name: str, unit: str = "", *, formula: str = "", total: bool = False) -> Column:
    return Column(name=name, unit=unit, kind="count", formula=formula, total=total)
