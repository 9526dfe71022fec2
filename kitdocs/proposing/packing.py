"""The rules that a set or pouch of a design keeps, each by its name, and the cassette or size of pouch that holds it.

The rules are those of the practice folder (`practice/rules`) and of the measures (`planning/measures`), asked before
there is a folder: what fits, what passes each machine, what goes through the same stages, what may share a bath.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import combinations
from typing import get_args

from kitdocs.planning.measures.fit import smallest_cassette
from kitdocs.planning.measures.pouch_fit import smallest_size
from kitdocs.planning.measures.wrap import sheet_for
from kitdocs.practice.kinds import SetMark
from kitdocs.practice.model import Cassette, passes
from kitdocs.practice.problems import Problem
from kitdocs.practice.proposal import Hindrance
from kitdocs.practice.room import machines
from kitdocs.practice.rules.looking import error
from kitdocs.practice.rules.room import NOBLER
from kitdocs.proposing.demand import Demand
from kitdocs.proposing.design import Design, PouchKind, SetKind

#: Two sets in one kind of cassette need different marks.
_MARKS = len(get_args(SetMark))


class Packing:
    """What goes into what, for one demand. Answers are kept: the same contents are asked about again and again."""

    def __init__(self, demand: Demand) -> None:
        self.demand = demand
        practice = demand.practice
        self._cassettes: dict[tuple[str, ...], str | None] = {}
        self._sizes: dict[tuple[str, ...], str | None] = {}
        self._sets_allowed: dict[SetKind, bool] = {}
        self._pouches_allowed: dict[PouchKind, bool] = {}
        self._apart = {frozenset(pair) for group in demand.apart for pair in combinations(sorted(group), 2)}
        nobler = any(practice.instruments[i].material in NOBLER for i in demand.instruments)
        stated = {
            c: record for c, record in practice.cassettes.items() if not (nobler and record.material == "aluminium")
        }
        sheets = {
            c: sheet_for(record.outside, practice.room.wrap, practice.room.sheets) for c, record in stated.items()
        }
        some = any(choice.sheet for choice in sheets.values())  # where none wraps any, the plan says so
        self.unwrapped = {c: one.side_needed_mm for c, one in sheets.items() if some and one.sheet is None}
        """Cassettes that no stocked sheet wraps, with the side that one must have, in mm: no set goes into them."""
        self._cassettes_to_use = {c: record for c, record in stated.items() if c not in self.unwrapped}

    def cassette(self, pieces: tuple[str, ...]) -> str | None:
        """Return the smallest cassette that holds the pieces, passes every machine and may be washed with the rest."""
        if pieces not in self._cassettes:
            passing = {c: record for c, record in self._cassettes_to_use.items() if self._passes_all(pieces, c)}
            self._cassettes[pieces] = self._smallest(pieces, passing)
        return self._cassettes[pieces]

    def _smallest(self, pieces: tuple[str, ...], passing: Mapping[str, Cassette]) -> str | None:
        return smallest_cassette(replace(self.demand.practice, cassettes=passing), pieces) if pieces else None

    def size(self, pieces: tuple[str, ...]) -> str | None:
        """Return the smallest size of pouch that holds the pieces and passes every machine; None when none does."""
        if pieces not in self._sizes:
            sizes = self.demand.practice.room.pouch_sizes
            passing = {s: size for s, size in sizes.items() if self._passes_all(pieces, s)}
            self._sizes[pieces] = smallest_size(self.demand.practice, pieces, passing) if pieces and passing else None
        return self._sizes[pieces]

    def set_is_allowed(self, kit: SetKind) -> bool:
        if kit not in self._sets_allowed:
            self._sets_allowed[kit] = bool(kit.kept) or not any(self.against_set(kit.contents, kit.procedures))
        return self._sets_allowed[kit]

    def pouch_is_allowed(self, pouch: PouchKind) -> bool:
        if pouch not in self._pouches_allowed:
            self._pouches_allowed[pouch] = bool(pouch.kept) or not any(self.against_pouch(pouch))
        return self._pouches_allowed[pouch]

    def allows(self, design: Design) -> bool:
        """Whether a design keeps every rule."""
        return (
            all(self.set_is_allowed(kit) for kit in design.sets)
            and all(self.pouch_is_allowed(pouch) for pouch in design.pouches)
            and not any(self.pouches_over(design))
            and self.hindrance(design) is None
        )

    def hindrance(self, design: Design) -> Hindrance | None:
        """Return what rules out a design whose sets and pouches are each allowed."""
        if any(
            set(pouch.contents).intersection(design.set_of(p).contents)
            for pouch in design.pouches
            if pouch.role == "add-on" and not pouch.kept
            for p in pouch.procedures
        ):
            return "doubled"
        if not self._marks_suffice(design):
            return "marks"
        return None if self._cotton_pliers_are_there(design) else "cotton-plier"

    def holds(self, design: Design) -> bool:
        """Whether there is a cassette for each set and a size for each pouch, with as many pieces as visits want."""
        return all(map(self.cassette_of, design.sets)) and all(map(self.size_of, design.pouches))

    def pouches_over(self, design: Design) -> Iterator[str]:
        """Yield the procedures whose visits would take more add-ons than one may; what is kept is never too many."""
        for p in self.demand.procedures:
            add_ons = [pouch for pouch in design.pouches_of(p) if pouch.role == "add-on"]
            if len(add_ons) > max(self.demand.pouches, sum(bool(pouch.kept) for pouch in add_ons)):
                yield p

    def against_set(self, contents: Sequence[str], procedures: Sequence[str]) -> Iterator[str]:
        """Yield the names of the rules that a set would break."""
        yield from self._against_any(contents)
        if not self.demand.mirrors.intersection(contents) and self.demand.mirrors:
            yield "mirror"
        implants = [i for i in contents if self.demand.practice.instruments[i].implant_related]
        if any(i not in self.demand.wants[p] for i in implants for p in procedures):
            yield "implant"
        if not all(self.suits(contents, p) for p in procedures):
            yield "mostly-wanted"
        if self.cassette(self.demand.pieces(contents, procedures)) is None:
            yield "cassette"

    def against_pouch(self, pouch: PouchKind) -> Iterator[str]:
        """Yield the names of the rules that a pouch would break."""
        yield from self._against_any(pouch.contents)
        implants = [self.demand.practice.instruments[i].implant_related for i in pouch.contents]
        if any(implants) and (pouch.role == "drawer" or not all(implants)):
            yield "implant"
        if pouch.role == "drawer" and any(
            self.is_always_wanted(i, p) for p in pouch.procedures for i in pouch.contents
        ):
            yield "always"
        if not all(self.suits(pouch.contents, p) for p in pouch.procedures):
            yield "mostly-wanted"
        if not any(self.is_made_for(pouch.contents, p) for p in pouch.procedures):
            yield "made-for"
        if self.size(self.demand.pieces(pouch.contents, pouch.procedures)) is None:
            yield "pouch"

    def is_always_wanted(self, instrument: str, procedure: str) -> bool:
        """Whether every visit wants it: then it is laid out, and lies in no drawer."""
        want = self.demand.wants[procedure].get(instrument)
        return want is not None and want.always

    def suits(self, contents: Sequence[str], procedure: str) -> bool:
        """Whether a procedure wants at least half of what is in a set or pouch. Common practice, no source."""
        return 2 * sum(i in self.demand.wants[procedure] for i in contents) >= len(contents)

    def is_made_for(self, contents: Sequence[str], procedure: str) -> bool:
        """Whether a procedure wants all that is in a pouch: each is made for one. Common practice, no source."""
        return all(i in self.demand.wants[procedure] for i in contents)

    def _against_any(self, contents: Sequence[str]) -> Iterator[str]:
        instruments = self.demand.practice.instruments
        for stage in self.demand.practice.room.stages:
            skipping = [stage in instruments[i].skips for i in contents]
            if any(skipping) and not all(skipping):
                yield "stages"
                break
        if any(frozenset(pair) in self._apart for pair in combinations(sorted(contents), 2)):
            yield "apart"
        held = set(contents)
        if any(held.intersection(block) and not held.issuperset(block) for block in self._groups(held)):
            yield "together"

    def _groups(self, held: set[str]) -> list[frozenset[str]]:
        return [self.demand.blocks[i] for i in held if i in self.demand.blocks and len(self.demand.blocks[i]) > 1]

    def _passes_all(self, contents: Sequence[str], size: str) -> bool:
        practice = self.demand.practice
        return all(
            size in stage.capacity
            for id_, stage in machines(practice.room.stages).items()
            if passes(practice.instruments, contents, id_, stage)
        )

    def _marks_suffice(self, design: Design) -> bool:
        used = [self.cassette_of(kit) for kit in design.sets]
        return all(used.count(cassette) <= _MARKS for cassette in set(used))

    def cassette_of(self, kit: SetKind) -> str:
        """Return the cassette of a set of a design."""
        if kit.kept:
            return self.demand.practice.sets[kit.kept].cassette
        return self.cassette(self.demand.pieces(kit.contents, kit.procedures)) or ""

    def size_of(self, pouch: PouchKind) -> str:
        """Return the size of a pouch of a design."""
        if pouch.kept:
            return self.demand.practice.pouches[pouch.kept].size
        return self.size(self.demand.pieces(pouch.contents, pouch.procedures)) or ""

    def _cotton_pliers_are_there(self, design: Design) -> bool:
        """Where drawers are opened with the set's own cotton plier, each set has one that may need it."""
        practice = self.demand.practice
        if practice.settings.drawer_access != "cotton-plier":
            return True
        opening = {p for pouch in design.pouches if pouch.role == "drawer" for p in pouch.procedures}
        return all(
            any(practice.instruments[i].drawing == "cotton-plier" for i in kit.contents)
            for kit in design.sets
            if opening.intersection(kit.procedures)
        )


def cannot_be_packed(demand: Demand) -> tuple[Problem, ...]:
    """Report what lies in no set and no pouch, whatever the design: it fits nowhere that it may go."""
    packing, practice = Packing(demand), demand.practice
    problems = []
    for i in demand.instruments:
        pieces = demand.pieces(demand.blocks[i], demand.procedures)
        if packing.cassette(pieces) is None and packing.size(pieces) is None:
            problems.append(error(practice, "fits-nowhere", ("instruments", i), at_key=True, instrument=i))
    mirrors = [mirror for mirror in sorted(demand.mirrors) if packing.cassette((mirror,)) is None]
    problems += [error(practice, "mirror-fits-nowhere", ("instruments", i), at_key=True) for i in mirrors]
    return tuple(problems)
