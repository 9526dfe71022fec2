"""Practices worked on side by side: in this process, in several on this machine, or on a Dask cluster.

Whoever works gets data and gives data back, so that the results are the same bytes wherever they were made. They are
given in the order in which they are done; whoever puts them together sorts them by name.
"""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import suppress
from functools import partial
from itertools import islice
from typing import TypeAlias

from kitdocs.group.found import PackedPractice
from kitdocs.group.work import WorkedOn, work_on

#: Works on all practices, and gives what comes of each as it is done.
Runner: TypeAlias = Callable[[Sequence[PackedPractice], Callable[[PackedPractice], WorkedOn]], Iterator[WorkedOn]]

_ENDED = "a process that worked on it ended twice before it had finished; perhaps the machine is short of memory"


def here(practices: Sequence[PackedPractice], work: Callable[[PackedPractice], WorkedOn]) -> Iterator[WorkedOn]:
    """Work on one practice after another, in this process."""
    yield from map(work, practices)


def in_processes(count: int) -> Runner:
    """Return what works in so many processes of this machine. What a process that is killed had, is done again once."""

    def run(practices: Sequence[PackedPractice], work: Callable[[PackedPractice], WorkedOn]) -> Iterator[WorkedOn]:
        left = {practice.name: practice for practice in practices}
        for worked in _once(left.values(), work, count):
            del left[worked.name]
            yield worked
        for practice in tuple(left.values()):  # each by itself, so that one that ends its process ends no other's
            again = list(_once([practice], work, 1))
            yield again[0] if again else WorkedOn(name=practice.name, failed=_ENDED)

    return run


def _once(
    practices: Iterable[PackedPractice], work: Callable[[PackedPractice], WorkedOn], count: int
) -> Iterator[WorkedOn]:
    """Yield what is done until a process is killed; nothing is started anew here.

    A few more than there are processes are under way at a time: what is done is passed on before more is kept.
    """
    waiting = iter(tuple(practices))
    start = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(count, mp_context=start) as pool, suppress(BrokenProcessPool):
        under_way = {pool.submit(work, practice) for practice in islice(waiting, count + 1)}
        while under_way:
            done, under_way = wait(under_way, return_when=FIRST_COMPLETED)
            under_way |= {pool.submit(work, practice) for practice in islice(waiting, len(done))}
            while done:
                yield done.pop().result()


def run_group(
    practices: Sequence[PackedPractice], run: Runner, *, handbook: bool, fresh: bool = False
) -> Iterator[WorkedOn]:
    """Yield what comes of each practice as it is done."""
    yield from run(practices, partial(work_on, handbook=handbook, fresh=fresh))
