"""The sets and pouches that a program may choose from: those that are worth a thought.

Where there are few instruments, every set that goes into a cassette and every pouch that fits is a candidate. Where
there are more, candidates are what single procedures want, what two or three of them want together or both, and what
one of them wants beyond a candidate set.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations
from math import fsum, sqrt

from kitdocs.proposing.completing import filled_set
from kitdocs.proposing.demand import Demand
from kitdocs.proposing.design import Design, PouchKind
from kitdocs.proposing.packing import Packing

#: With so many instruments, every set and pouch is a candidate.
FEW = 8
#: So many candidates at most, the likeliest first: the program's time grows with them.
MOST_SETS, MOST_POUCHES = 100, 90

_LEAST = (1.0, 0.6, 0.3, 0.01)
"""Shares of visits from which on an instrument lies in a candidate set."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidates:
    """Contents of sets and of pouches, by what is in them."""

    sets: tuple[tuple[str, ...], ...]
    pouches: tuple[tuple[str, ...], ...]
    complete: bool
    """Whether there are no others."""


def candidates(packing: Packing) -> Candidates:
    """Return the candidates for one demand, those that break a rule left out."""
    demand = packing.demand
    complete = len(demand.instruments) <= FEW
    sets = _every(demand) if complete else _likely_sets(packing)
    sets = [held for held in dict.fromkeys(sets) if held and _goes_in(packing, held)][: None if complete else MOST_SETS]
    pouches = _every(demand) if complete else _likely_pouches(demand, sets)
    pouches = [held for held in dict.fromkeys(pouches) if held and _fits(packing, held)]
    return Candidates(
        sets=tuple(sets), pouches=tuple(pouches if complete else pouches[:MOST_POUCHES]), complete=complete
    )


def _every(demand: Demand) -> list[tuple[str, ...]]:
    return [held for n in range(1, len(demand.instruments) + 1) for held in combinations(demand.instruments, n)]


def _goes_in(packing: Packing, contents: tuple[str, ...]) -> bool:
    users = _users(packing, contents)
    return bool(users) and not any(packing.against_set(contents, users))


def _users(packing: Packing, contents: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(p for p in packing.demand.procedures if packing.suits(contents, p))


def _fits(packing: Packing, contents: tuple[str, ...]) -> bool:
    return packing.pouch_is_allowed(PouchKind("add-on", contents, _users(packing, contents)))


def _likely_sets(packing: Packing) -> Iterator[tuple[str, ...]]:
    """What one procedure wants, then what two want together or both, then what three do; the busiest first."""
    demand = packing.demand
    busiest = sorted(demand.procedures, key=lambda p: -demand.visits[p])
    for p in busiest:
        yield from (filled_set(packing, (p,), least).contents for least in _LEAST[:3])
    pairs = sorted(combinations(busiest, 2), key=lambda pair: -_alike(demand, pair))
    for pair in pairs[: 2 * len(busiest)]:
        yield from (filled_set(packing, pair, least).contents for least in (0.6, 0.3))
        yield demand.in_order(_always(demand, pair[0]) & _always(demand, pair[1]))
    for trio in sorted(combinations(busiest[:10], 3), key=lambda trio: -_alike(demand, trio))[: len(busiest)]:
        yield from (filled_set(packing, trio, least).contents for least in (0.6, 0.3))


def _always(demand: Demand, procedure: str) -> set[str]:
    return {i for i, want in demand.wants[procedure].items() if want.always}


def _alike(demand: Demand, procedures: tuple[str, ...]) -> float:
    """How much of what they want all of them want, times how often a day they are done."""
    wants = [set(demand.wants[p]) for p in procedures]
    common = len(set.intersection(*wants)) / len(set.union(*wants))
    return common * fsum(sqrt(demand.visits[p]) for p in procedures)


def _likely_pouches(demand: Demand, sets: Iterable[tuple[str, ...]]) -> Iterator[tuple[str, ...]]:
    """Single instruments; what one procedure wants beyond a set, all of it or what always or sometimes; the rarest."""
    yield from ((i,) for i in demand.instruments if i not in demand.mirrors)
    found: dict[tuple[str, ...], float] = {}
    for held in sets:
        for p in demand.procedures:
            left = [i for i in demand.wants[p] if i not in held]
            if len(left) > 5 or len(left) * 2 > len(demand.wants[p]):
                continue
            for part in (
                left,
                [i for i in left if demand.wants[p][i].always],
                [i for i in left if not demand.wants[p][i].always],
            ):
                if len(part) > 1:
                    contents = demand.in_order(part)
                    found[contents] = found.get(contents, 0.0) + demand.visits[p]
    yield from sorted(found, key=lambda contents: (-found[contents], contents))


def with_designs(choice: Candidates, designs: Iterable[Design]) -> Candidates:
    """Return the candidates and what designs are made of, so that the program can make each of them."""
    found = list(designs)
    return Candidates(
        sets=tuple(dict.fromkeys((*choice.sets, *(kit.contents for d in found for kit in d.sets if not kit.kept)))),
        pouches=tuple(dict.fromkeys((*choice.pouches, *(q.contents for d in found for q in d.pouches if not q.kept)))),
        complete=choice.complete,
    )
