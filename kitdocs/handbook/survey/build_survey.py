"""The whole survey, its sheets in the order of the visit."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from kitdocs.document.card import Card, Handbook
from kitdocs.document.catalog import built_in_catalog, catalog_for
from kitdocs.handbook.survey.people import chairs_sheet, practice_sheet, uses_sheets, visits_sheet
from kitdocs.handbook.survey.room import count_sheet, packs_sheet, room_sheet, storage_sheet, tally_sheet
from kitdocs.handbook.survey.visit import SurveyBrief
from kitdocs.practice.model import Practice


def make_survey(
    practice: Practice | None = None, *, language: str | None = None, paper: Literal["letter", "a4"] | None = None
) -> Handbook:
    """Return the survey as cards, blank or filled in from a practice.

    Language and paper default to those of the practice; without one, to English and Letter. Raises `KitdocsError` if
    the language has no words.
    """
    settings = practice.settings if practice else None
    chosen = language or (settings.languages[0] if settings else "en")
    words = catalog_for(chosen, practice.words) if practice else built_in_catalog(chosen)
    visit = SurveyBrief(words=words, practice=practice)
    return Handbook(
        practice=visit.say(settings.name) if settings else words("survey.blank"),
        language=chosen,
        words=words,
        languages=(chosen,),
        paper=paper or (settings.paper if settings else "letter"),
        cards=tuple(_sheets(visit)),
    )


def _sheets(visit: SurveyBrief) -> Iterator[Card]:
    yield practice_sheet(visit)
    yield chairs_sheet(visit)
    yield visits_sheet(visit)
    yield from uses_sheets(visit)
    yield room_sheet(visit)
    yield packs_sheet(visit)
    yield storage_sheet(visit)
    yield count_sheet(visit)
    yield tally_sheet(visit)
