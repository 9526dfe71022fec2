"""Survey sheets about visits: the practice, its chairs, the kinds of visit and what each kind uses."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from kitdocs.document.blocks import Cell, FormGrid
from kitdocs.document.card import Card
from kitdocs.handbook.layout import cells
from kitdocs.handbook.pictures import end_of
from kitdocs.handbook.survey.visit import SurveyBrief, ruled
from kitdocs.practice.model import Chair, Practice
from kitdocs.practice.needs import Need
from kitdocs.practice.values import clock_text, share_text

#: Kinds of visit per uses sheet; more columns would be too narrow for handwriting.
KINDS_ON_A_SHEET = 14

_QUESTIONS = ("name", "hours", "pause", "week", "languages", "paper", "labels", "expiration", "site")


def practice_sheet(visit: SurveyBrief) -> Card:
    """Return the practice sheet: hours, paper, languages, and whom to ask."""
    known = _answers(visit.practice) if visit.practice else {}
    questions = tuple(cells(visit.ask("practice", name), known.get(name, "")) for name in _QUESTIONS)
    roles = visit.practice.settings.ask if visit.practice else ()
    contacts = tuple(cells(visit.say(contact.who), visit.say(contact.where)) for contact in roles)
    asked = FormGrid(
        columns=visit.columns("practice", "question", "answer"), widths=(70, 70, 36), rows=0, given=questions
    )
    whom = ruled(visit.columns("practice", "ask", "where"), (70, 70, 36), contacts)
    return visit.card("practice", ["practice.yaml"], asked, whom)


def _answers(practice: Practice) -> dict[str, str]:
    settings = practice.settings
    day, pause = settings.day, settings.day.pause
    return {
        "name": str(settings.name),
        "hours": f"{clock_text(day.opens)}–{clock_text(day.closes)}",
        "pause": f"{clock_text(pause.start)}–{clock_text(pause.end)}" if pause else "–",
        "week": str(day.per_week),
        "languages": ", ".join(settings.languages),
        "paper": settings.paper,
        "labels": f"{settings.labels.columns} × {settings.labels.rows}" if settings.labels else "",
        "expiration": settings.expiration,
        "site": settings.site or "",
    }


def chairs_sheet(visit: SurveyBrief) -> Card:
    """Return the chairs sheet: each chair with its colour and the contents of its drawer."""
    chairs = visit.practice.chairs.values() if visit.practice else ()
    given = [cells(visit.say(chair.name), _colour(visit, chair), _drawer(visit, chair)) for chair in chairs]
    columns = visit.columns("chairs", "chair", "colour", "drawer", "wanted")
    return visit.card("chairs", ["chairs.yaml"], ruled(columns, (34, 40, 72, 62, 42), given), landscape=True)


def _colour(visit: SurveyBrief, chair: Chair) -> str:
    return f"{visit.say(chair.colour.name)}, {visit.words(f'card.chair-mark.{chair.mark}')}"


def _drawer(visit: SurveyBrief, chair: Chair) -> str:
    pouches = visit.practice.pouches if visit.practice else {}
    return " · ".join(
        visit.say(pouches[pouch].name) + ("" if count == "auto" else f" × {count}")
        for pouch, count in chair.drawer.items()
    )


def visits_sheet(visit: SurveyBrief) -> Card:
    """Return the visits sheet: each kind of visit with its number, its minutes and how many there are."""
    practice, say = visit.practice, visit.say
    given = (
        [
            cells(
                number,
                say(record.name),
                visit.words.number(record.minutes, 4),
                visit.words.number(record.per_day, 4),
                ", ".join(say(practice.chairs[chair].name) for chair in record.chairs),
                say(practice.sets[record.set].name),
            )
            for number, record in enumerate(practice.procedures.values(), 1)
        ]
        if practice
        else []
    )
    columns = visit.columns("visits", "number", "procedure", "minutes", "per-day", "chairs", "today")
    grid = ruled(columns, (12, 62, 20, 24, 62, 42, 34), given)
    return visit.card("visits", ["procedures.yaml"], grid, landscape=True)


def uses_sheets(visit: SurveyBrief) -> Iterator[Card]:
    """Yield the uses sheets: instruments against kinds of visit."""
    procedures = list(visit.practice.procedures) if visit.practice else []
    count = max(KINDS_ON_A_SHEET, len(procedures))
    for first in range(0, count, KINDS_ON_A_SHEET):
        yield _uses(visit, first, procedures[first : first + KINDS_ON_A_SHEET])


def _uses(visit: SurveyBrief, first: int, procedures: Sequence[str]) -> Card:
    numbers = tuple(str(first + n) for n in range(1, KINDS_ON_A_SHEET + 1))
    practice = visit.practice
    given: list[tuple[Cell, ...]] = []
    if practice:
        needs = [practice.procedures[procedure].needs for procedure in procedures]
        for i, record in practice.instruments.items():
            named = Cell(text=visit.say(record.name), picture=end_of(practice, i))
            given.append((named, *cells(*(_share(each, i) for each in needs))))
    grid = ruled((visit.ask("uses", "instrument"), *numbers), (62, *[13.0] * KINDS_ON_A_SHEET), given, more=3)
    card = visit.card("uses", ["procedures.yaml", "instruments.yaml"], grid, landscape=True)
    return replace(card, id=f"survey/uses-{first // KINDS_ON_A_SHEET + 1}") if first else card


def _share(needs: Mapping[str, Need], instrument: str) -> str:
    """Return ``×`` for what every visit needs, or the share that does; before it how many, where it is several."""
    need = needs.get(instrument)
    if need is None:
        return ""
    often = "×" if need.share == 1 else share_text(need.share)
    return often if need.count == 1 else f"{need.count} {often}"
