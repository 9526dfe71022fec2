"""Counts that are written for drawers: no day goes otherwise for them, so days are the same whatever is written."""

from __future__ import annotations

from dataclasses import replace

from kitdocs.planning.day.problems import par_too_small
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
    drawers = {id_: chair.drawer for id_, chair in practice.chairs.items()}
    pars = {
        (chair, pouch): replace(par, written=None if (written := drawers[chair][pouch]) == "auto" else written)
        for (chair, pouch), par in ran.pars.items()
    }
    pouches = {
        id_: replace(pouch, par=sum(par.par for par in pars.values() if par.pouch == id_))
        for id_, pouch in ran.drawer_pouches.items()
    }
    problems = (*ran.problems, *(problem for par in pars.values() for problem in par_too_small(practice, par)))
    return replace(ran, pars=pars, drawer_pouches=pouches, problems=problems)
