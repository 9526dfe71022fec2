"""Checks: colours and letters, warnings, the limits of the figures, and each figure with its reason."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Protocol

from kitdocs.document.blocks import (
    Block,
    Caution,
    Cell,
    Facts,
    Heading,
    Listing,
    Paragraph,
    Prose,
    ProsePart,
    Span,
    said,
)
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.packing import makers_caution
from kitdocs.handbook.layout import facts, table
from kitdocs.handbook.pictures import chair_mark_of
from kitdocs.planning.colours.check import eyes
from kitdocs.planning.colours.distance import worst_distance
from kitdocs.planning.colours.palette import APART
from kitdocs.planning.figure import Figure
from kitdocs.planning.legibility import code_modules, code_side_mm, letter_height_mm, type_size_pt
from kitdocs.practice.message import Fixed, Message, Share, message
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import Problem
from kitdocs.practice.values import Text
from kitdocs.report.amounts import amount_of
from kitdocs.report.layout import NOTHING, report_card, sentence

_MODULES = code_modules(4)
"""A code of version 4 holds the address of a page."""
#: An id in the quotes of any language: 'chair-1', «\u00a0chair-1\u00a0», „chair-1“.
_QUOTED_ID = re.compile(r"['«„“]\u00a0?([a-z0-9-]+)\u00a0?['»“”]")


def colours_card(brief: Brief) -> Card:
    """Return the part about colours, letters and codes."""
    return report_card(brief, "checks", "colours", _colours(brief))


def _colours(brief: Brief) -> Iterator[Block]:
    words = brief.words
    yield said(words("report.colours.intro", apart=APART))
    rows = [(_chair(brief, id_), *_closest(brief, id_)) for id_ in brief.practice.chairs]
    head = words.each("report.colours.head", "chair", "closest", "distance", "eyes")
    yield table(words("report.colours.table"), head, rows, numbers=(2,))
    yield _posted(brief)


def _chair(brief: Brief, id_: str) -> Cell:
    chair = brief.practice.chairs[id_]
    return Cell(text=brief.chair(id_), detail=brief.colour(chair.colour), picture=chair_mark_of(brief, id_))


def _closest(brief: Brief, id_: str) -> tuple[str, str, str]:
    """Return the colour closest to a chair's, how far it is, and to whom."""
    words, chairs = brief.words, brief.practice.chairs
    distances = {
        other: worst_distance(chairs[id_].colour.hex, chair.colour.hex)
        for other, chair in chairs.items()
        if other != id_
    }
    if not distances:
        return NOTHING, NOTHING, NOTHING
    closest = min(distances, key=lambda other: distances[other][0])
    least, vision = distances[closest]
    named = words("report.colours.of-chair", colour=brief.colour(chairs[closest].colour), chair=brief.chair(closest))
    return named, words.fixed(least), words.say(eyes(vision))


def _posted(brief: Brief) -> Facts:
    words, settings = brief.words, brief.practice.settings
    letter = letter_height_mm(settings.reading_distance)
    height = words(
        "report.colours.letter-value",
        letter=words.number(letter, 2),
        size=Fixed(type_size_pt(letter)),
        distance=words.number(settings.reading_distance),
    )
    side = words(
        "report.colours.code-value",
        side=words.number(code_side_mm(settings.scanning_distance, _MODULES)),
        modules=_MODULES,
        distance=words.number(settings.scanning_distance),
    )
    stated = (words("report.colours.letter"), height), (words("report.colours.code"), side)
    return facts(*stated, title=words("report.colours.posted"))


_ARE, _ARE_NOT, _LEFT_OUT = 6, 5, 14
"""Sentences on how to read the figures: what they are, what they are not, and what the model leaves out."""


class _Named(Protocol):
    @property
    def name(self) -> Text: ...


def warnings_card(brief: Brief) -> Card:
    """Return the part with the warnings, open and accepted."""
    return report_card(brief, "checks", "warnings", _warnings(brief))


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
    if not is_open:
        return message("report.warnings.count-all-accepted", accepted=accepted)
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
        rows = [
            (warning_place(brief, p), warning_text(brief, p, p.message), brief.say(p.accepted))
            for p in accepted
            if p.accepted
        ]
        yield table(words("report.warnings.accepted"), (where, what, reason), rows)


def warning_place(brief: Brief, problem: Problem) -> Cell:
    """Return where a warning points to: the file, and ``line 12``."""
    return Cell(text=problem.place.file, detail=brief.words("report.line", n=str(problem.place.line)))


def warning_text(brief: Brief, problem: Problem, text: Message | str) -> str:
    """Return a warning's message or remedy as it is read away from the folder: a thing by its name, not by its id."""
    names = _names(brief, problem)
    return sentence(_QUOTED_ID.sub(lambda found: names.get(found[1], found[0]), brief.words.say(text)))


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
        names |= {
            id_: brief.words("report.warnings.name", name=brief.say(record.name)) for id_, record in kinds[kind].items()
        }
    return names


def method_card(brief: Brief) -> Card:
    """Return how to read the figures."""
    words, days = brief.words, brief.plan.days
    promises = {"waits": days.promises.sets, "runs_out": days.promises.drawers, "short": days.promises.all}
    shares = {name: Share(1 - promise.kept.share, 1) for name, promise in promises.items()}
    told = {**_are_as_stated(brief.practice), "report.method.left-out-part.1": _left_out_as_stated(brief.practice)}

    def part(name: str) -> str:
        return words(told.get(name, name))

    are = (part(f"report.method.are-part.{n}") for n in range(1, _ARE + 1))
    are_not = (words(f"report.method.are-not-part.{n}", **shares) for n in range(1, _ARE_NOT + 1))
    left_out = (part(f"report.method.left-out-part.{n}") for n in range(1, _LEFT_OUT + 1))
    blocks = (
        _list(words("report.method.are"), are),
        _list(words("report.method.are-not"), are_not),
        _list(words("report.method.left-out"), left_out),
        makers_caution(brief),
        Caution(title=words("report.method.validation-title"), text=words("report.method.validation")),
    )
    return report_card(brief, "checks", "method", blocks)


def _are_as_stated(practice: Practice) -> dict[str, str]:
    """Return the sentences on what the figures are that are others, as the practice says more of its visits."""
    told = {}
    if _not_kept(practice) or _run_over(practice):
        told["report.method.are-part.2"] = "report.method.are-part.2-late"
    if practice.schedule:
        told["report.method.are-part.6"] = "report.method.are-part.6-schedule"
    elif practice.settings.book == "packed":
        told["report.method.are-part.6"] = "report.method.are-part.6-packed"
    return told


def _left_out_as_stated(practice: Practice) -> str:
    """Return which sentence says what is left out of the visits."""
    if _not_kept(practice):
        return "report.method.left-out-part.1-both" if _run_over(practice) else "report.method.left-out-part.1-no-shows"
    return "report.method.left-out-part.1-overrun" if _run_over(practice) else "report.method.left-out-part.1"


def _not_kept(practice: Practice) -> bool:
    return any(map(practice.no_shows, practice.procedures))


def _run_over(practice: Practice) -> bool:
    return any(map(practice.overrun, practice.procedures))


def _list(title: str, sentences: Iterable[str]) -> Prose:
    entries: tuple[tuple[ProsePart, ...], ...] = tuple(
        (Paragraph(spans=(Span(text=sentence),)),) for sentence in sentences
    )
    return Prose(parts=(Heading(text=title), Listing(items=entries)))


def reasons_card(brief: Brief) -> Card:
    """Return one table a section."""
    words = brief.words
    by_section: dict[str, list[Figure]] = {}
    for figure in brief.plan.figures:
        by_section.setdefault(figure.section, []).append(figure)
    tables = [
        table(
            words(f"report.reasons.section.{name}"),
            (words("report.reasons.figure"), words("report.reasons.why")),
            [
                (
                    Cell(text=words.say(figure.name), detail=amount_of(words, figure), anchor=figure.id),
                    sentence(words.say(figure.why)),
                )
                for figure in figures
            ],
        )
        for name, figures in by_section.items()
    ]
    return report_card(brief, "checks", "reasons", tables, subtitle=words("report.reasons.subtitle"))
