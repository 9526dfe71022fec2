"""Warnings: what is open, with its place and remedy; and what somebody has accepted, with the reason."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Protocol

from kitdocs.document.blocks import Block, Cell, said
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.practice.message import Message, message
from kitdocs.practice.problems import Problem
from kitdocs.practice.values import Text
from kitdocs.report.layout import report_card, sentence, table


class _Named(Protocol):
    @property
    def name(self) -> Text: ...


def warnings_card(brief: Brief, section: str) -> Card:
    """Return the part with the warnings, open and accepted."""
    return report_card("warnings", brief.words("report.warnings.title"), section, _warnings(brief))


def open_warnings(brief: Brief) -> tuple[Problem, ...]:
    """Return the warnings that nobody has accepted."""
    return tuple(problem for problem in brief.plan.problems if not problem.accepted)


def accepted_warnings(brief: Brief) -> tuple[Problem, ...]:
    """Return the warnings that somebody has accepted with a reason."""
    return tuple(problem for problem in brief.plan.problems if problem.accepted)


def warnings_words(brief: Brief) -> Message:
    """Return how many there are: ``1 open, 2 accepted with a reason``."""
    is_open, accepted = len(open_warnings(brief)), len(accepted_warnings(brief))
    if not is_open and not accepted:
        return message("report.none")
    return message(
        "report.warnings.count-accepted" if accepted else "report.warnings.count", open=is_open, accepted=accepted
    )


def _warnings(brief: Brief) -> Iterator[Block]:
    words, is_open, accepted = brief.words, open_warnings(brief), accepted_warnings(brief)
    where, what, remedy, reason = (
        words(f"report.warnings.head.{name}") for name in ("where", "what", "remedy", "reason")
    )
    if not is_open:
        yield said(words("report.warnings.none"))
    else:
        rows = [
            (warning_place(brief, p), warning_text(brief, p, p.message), warning_text(brief, p, p.remedy))
            for p in is_open
        ]
        yield table(words.count("report.warnings.open", len(is_open)), (where, what, remedy), rows)
    if accepted:
        rows = [(warning_place(brief, p), warning_text(brief, p, p.message), p.accepted) for p in accepted]
        yield table(words("report.warnings.accepted"), (where, what, reason), rows)


def warning_place(brief: Brief, problem: Problem) -> Cell:
    """Return where a warning points to: the file, and ``line 12``."""
    return Cell(text=problem.place.file, detail=brief.words("report.line", n=str(problem.place.line)))


def warning_text(brief: Brief, problem: Problem, text: Message | str) -> str:
    """Return a warning's message or remedy as it is read away from the folder: a thing by its name, not by its id."""
    names = _names(brief, problem)
    return sentence(re.sub(r"'([a-z0-9-]+)'", lambda found: names.get(found[1], found[0]), brief.words.say(text)))


def _names(brief: Brief, problem: Problem) -> Mapping[str, str]:
    """Return the names of everything by id; of two things with one id, the kind that the problem is about wins."""
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
        names |= {id_: f"“{brief.say(record.name)}”" for id_, record in kinds[kind].items()}
    return names
