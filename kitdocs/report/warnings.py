"""Warnings: what is open, with its place and remedy; and what somebody has accepted, with the reason."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Protocol

from kitdocs.document.blocks import Block, Cell, said
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.practice.problems import Problem
from kitdocs.practice.values import Text
from kitdocs.report.telling import counted, report_card, table


class _Named(Protocol):
    @property
    def name(self) -> Text: ...


def warnings_card(brief: Brief, section: str) -> Card:
    return report_card("warnings", "Warnings", section, _warnings(brief))


def open_warnings(brief: Brief) -> tuple[Problem, ...]:
    return tuple(problem for problem in brief.plan.problems if not problem.accepted)


def accepted_warnings(brief: Brief) -> tuple[Problem, ...]:
    return tuple(problem for problem in brief.plan.problems if problem.accepted)


def warnings_words(brief: Brief) -> str:
    """``1 open, 2 accepted with a reason``."""
    is_open, accepted = len(open_warnings(brief)), len(accepted_warnings(brief))
    if not is_open and not accepted:
        return "none"
    return f"{is_open} open" if not accepted else f"{is_open} open, {accepted} accepted with a reason"


def _warnings(brief: Brief) -> Iterator[Block]:
    is_open, accepted = open_warnings(brief), accepted_warnings(brief)
    names = {problem: _names(brief, problem) for problem in brief.plan.problems}
    if not is_open:
        yield said("No warning is open: nothing that kitdocs checks is left to mend.")
    else:
        rows = [
            (_place(p), _named(brief.words.say(p.message), names[p]), _named(brief.words.say(p.remedy), names[p]))
            for p in is_open
        ]
        yield table(counted(len(is_open), "open warning"), ("Where", "What", "What would mend it"), rows)
    if accepted:
        rows = [(_place(p), _named(brief.words.say(p.message), names[p]), p.accepted) for p in accepted]
        yield table("Accepted", ("Where", "What", "Why it stays"), rows)


def _place(problem: Problem) -> Cell:
    return Cell(text=problem.place.file, detail=f"line {problem.place.line}")


def _named(text: str, names: Mapping[str, str]) -> str:
    """A message as it is read away from the folder: what it calls by its id, by its name."""
    told = re.sub(r"'([a-z0-9-]+)'", lambda found: names.get(found[1], found[0]), text)
    return told[:1].upper() + told[1:]


def _names(brief: Brief, problem: Problem) -> Mapping[str, str]:
    """The names of everything by id. Of two things with one id, the one that the problem is about is meant."""
    practice, room = brief.practice, brief.practice.room
    kinds: Mapping[str, Mapping[str, _Named]] = {
        "instruments": practice.instruments,
        "cassettes": practice.cassettes,
        "sets": practice.sets,
        "pouches": practice.pouches,
        "procedures": practice.procedures,
        "chairs": practice.chairs,
        "stages": room.stages,
        "sheets": room.sheets,
        "pouch_sizes": room.pouch_sizes,
        "drawers": room.drawers,
        "shelves": room.shelves,
    }
    about = problem.path.split(".")
    names: dict[str, str] = {}
    for kind in sorted(kinds, key=lambda kind: kind in about):
        names |= {id_: f"“{brief.say(of.name)}”" for id_, of in kinds[kind].items()}
    return names
