"""The few figures by which designs of a practice are compared."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from math import fsum

from kitdocs.planning.buying.placement import drawer_openings_per_day, orders_for, walks_per_day
from kitdocs.planning.day.kept_visits import visits_per_day
from kitdocs.planning.day.run import BusyDays
from kitdocs.practice.model import Practice


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """What a design comes to, by the plan. Money in the practice's currency, the rest for a busy day."""

    money: Decimal
    """What is to be bought: instruments, spares and cassettes. Their number, where they are counted in pieces."""
    walks: float
    """To the store, during visits."""
    openings: float
    """Pouches taken from the drawers at the chairs."""
    kinds: int
    loads: float
    hands: float
    """Minutes of work by hand in the reprocessing room."""
    handled: float
    """Instruments in packs that are opened, and so cleaned and packed again whether a visit used them or not."""
    ends: float
    """When the last item is back in the store on most days (the median), in minutes after midnight."""
    pieces: int
    """Instruments to own, spares included."""
    cassettes: int


def figures_of(practice: Practice, ran: BusyDays, *, in_pieces: bool = False) -> Figures:
    """Return what a practice with its design comes to on the days that were run."""
    orders = orders_for(practice, ran)
    used = [id_ for id_ in practice.pouches if id_ in ran.add_ons or id_ in ran.drawer_pouches]
    return Figures(
        money=Decimal(sum(line.buy for line in orders.lines)) if in_pieces else orders.total,
        walks=walks_per_day(practice, visits_per_day(practice)),
        openings=drawer_openings_per_day(ran),
        kinds=len(ran.sets) + len(used),
        loads=ran.loads_per_day,
        hands=fsum(stage.work_per_day for stage in ran.stages.values() if stage.kind == "hand") / 60,
        handled=_handled(practice, ran),
        ends=ran.ends.median / 60,
        pieces=sum(line.need for line in orders.lines if line.kind == "instrument"),
        cassettes=sum(line.need for line in orders.lines if line.kind == "cassette"),
    )


def _handled(practice: Practice, ran: BusyDays) -> float:
    taken = {id_: stock.taken_per_day for id_, stock in (*ran.sets.items(), *ran.add_ons.items())}
    taken |= {id_: drawer.opened_per_day for id_, drawer in ran.drawer_pouches.items()}
    return fsum(often * len(practice.contents(id_)) for id_, often in taken.items())


def laid_out(practice: Practice, procedure: str) -> tuple[str, ...]:
    """Return what lies there at every visit: the set, and what add-ons bring that every visit takes."""
    record = practice.procedures[procedure]
    packs = (record.set, *(pouch for pouch, share in record.add_ons.items() if share == 1))
    return tuple(dict.fromkeys(i for pack in packs for i in practice.contents(pack)))
