"""Counts that are written for drawers: no day goes otherwise for them, so days are the same whatever is written.

What is chosen beside them is chosen anew.
"""

from __future__ import annotations

from dataclasses import replace

from kitdocs.planning.day.par import BEYOND
from kitdocs.planning.day.problems import drawers_run_out
from kitdocs.planning.day.promise import chosen, promises
from kitdocs.planning.day.run import BusyDays
from kitdocs.practice.model import Practice


def without_written_counts(practice: Practice) -> Practice:
    """Return the practice with ``auto`` for every count of a drawer."""
    chairs = {
        id_: chair.model_copy(update={"drawer": dict.fromkeys(chair.drawer, "auto")})
        for id_, chair in practice.chairs.items()
    }
    return replace(practice, chairs=chairs)


def with_written_counts(practice: Practice, ran: BusyDays) -> BusyDays:
    """Return what the days of `practice` without its written counts come to with them."""
    of_auto = ran.chosen_drawers
    written = {place: practice.chairs[place[0]].drawer[place[1]] for place in ran.pars}
    numbers = {place: int(count) for place, count in written.items() if count != "auto"}
    drawers = chosen(of_auto.needs.with_written(numbers), of_auto.asked, computed=of_auto.computed)
    firmness = drawers.firmness()
    pars = {
        place: replace(par, written=numbers.get(place), computed=drawers.worked_out(place), firmness=firmness[place])
        for place, par in ran.pars.items()
    }
    pouches = {
        id_: replace(
            pouch,
            par=sum(par.par for par in pars.values() if par.pouch == id_),
            needed_beyond=drawers.counts[BEYOND, id_],
            firmness=firmness[BEYOND, id_],
        )
        for id_, pouch in ran.drawer_pouches.items()
    }
    return replace(
        ran,
        chosen_drawers=drawers,
        promises=promises(ran.chosen_sets, drawers),
        pars=pars,
        drawer_pouches=pouches,
        problems=(*ran.problems, *drawers_run_out(practice, drawers)),
    )
