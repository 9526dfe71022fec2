"""Set, add-on or drawer: what each place for an instrument would come to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from kitdocs.handbook.blocks import Block, Cell
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.card import Card
from kitdocs.handbook.report.telling import money, percent, plain, report_card, said, table
from kitdocs.planning.placement import PlacementStudy, Placing
from kitdocs.planning.placements import Where

_WHERE: Mapping[Where, str] = {"set": "in every set", "add-on": "in an add-on pouch", "drawer": "in the drawers"}


def placement_card(brief: Brief, studies: Sequence[PlacementStudy], section: str) -> Card:
    return report_card("placement", "Set, add-on or drawer?", section, _placement(brief, studies))


def _placement(brief: Brief, studies: Sequence[PlacementStudy]) -> Iterator[Block]:
    yield said(
        f"For every instrument that some but not all visits want: the same {studies[0].days:,} busy days run again "
        "with it in each kind of place. Money is all that would have to be bought, of this instrument and of "
        "everything else. A walk is one to the store during a visit, and costs a pair of gloves."
    )
    currency = brief.plan.orders.currency
    for study in studies:
        title = f"{brief.instrument(study.instrument)}: {percent(study.wanted)} of visits want it"
        rows = [_place(brief, where, placing, study) for where, placing in study.places.items()]
        if study.is_now is None:
            rows.insert(0, _row(brief, "as it is now, in several places", study.now))
        head = ("Place", "Own", "Buy", f"Money, {currency}", "Loads a day", "Walks a day")
        yield table(title, head, rows, numbers=(1, 2, 3, 4, 5))


def _place(brief: Brief, where: Where, placing: Placing | None, study: PlacementStudy) -> tuple[Cell, ...]:
    name = _WHERE[where] + (" (as now)" if study.is_now == where else "")
    if placing is None:
        return (Cell(text=name, detail="no cassette or pouch would hold it"), *(Cell(text="–"),) * 5)
    return _row(brief, name, placing)


def _row(brief: Brief, name: str, placing: Placing) -> tuple[Cell, ...]:
    cells = (
        str(placing.own),
        str(placing.buy),
        money(placing.money),
        plain(placing.loads_per_day),
        plain(placing.walks_per_day),
    )
    return (Cell(text=name), *(Cell(text=text) for text in cells))
