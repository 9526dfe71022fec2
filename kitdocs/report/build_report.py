"""The planning report for adviser and owner: the plan's figures, reasons, pictures and warnings, as cards."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kitdocs.document.card import Card, Handbook
from kitdocs.document.catalog import catalog_for
from kitdocs.document.edition import with_edition
from kitdocs.handbook.brief import Brief
from kitdocs.planning.buying.placement import PlacementStudy, study_of_plan
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.report.buying import buying_card, spares_card
from kitdocs.report.colours import colours_card
from kitdocs.report.day import day_card, turnaround_card
from kitdocs.report.drawers import drawers_card
from kitdocs.report.holding import holding_card
from kitdocs.report.loads import loads_card
from kitdocs.report.method import method_card
from kitdocs.report.placement import placement_card
from kitdocs.report.reasons import reasons_card
from kitdocs.report.savings import savings_card
from kitdocs.report.start import start_card
from kitdocs.report.stock import out_card, sets_card
from kitdocs.report.storage import storage_card
from kitdocs.report.summary import summary_card
from kitdocs.report.supplies import supplies_card
from kitdocs.report.warnings import warnings_card


def make_report(
    practice: Practice, plan: Plan, placement: Sequence[PlacementStudy] = (), *, language: str = ""
) -> Handbook:
    """Return the report in one language, the practice's first by default. A `placement` study adds a card.

    Raises `KitdocsError` when neither kitdocs nor the practice speaks the language.
    """
    settings = practice.settings
    words = catalog_for(language or settings.languages[0], practice.words)
    brief = Brief(practice=practice, plan=plan, words=words)
    return Handbook(
        practice=brief.say(settings.name),
        language=words.language,
        words=words,
        languages=settings.languages if words.language in settings.languages else (words.language,),
        paper=settings.paper,
        cards=tuple(with_edition(card) for card in _cards(brief, placement)),
    )


def make_reports(
    practice: Practice, plan: Plan, placement: Sequence[PlacementStudy] | None = None
) -> tuple[Handbook, ...]:
    """Return the report in each language of the practice; the placement study is worked out where none is given.

    The study takes longer than the plan itself; an empty one leaves its card out.
    """
    study = study_of_plan(practice, plan.days) if placement is None else placement
    return tuple(make_report(practice, plan, study, language=language) for language in practice.settings.languages)


def _cards(brief: Brief, placement: Sequence[PlacementStudy]) -> Iterator[Card]:
    sections = ("first", "day", "buying", "room", "checks")
    first, day, buying, room, checks = (brief.words(f"report.section.{name}") for name in sections)
    yield summary_card(brief, first)
    yield start_card(brief, first)
    yield sets_card(brief, day)
    yield out_card(brief, day)
    yield day_card(brief, day)
    yield turnaround_card(brief, day)
    if brief.plan.days.drawer_pouches:
        yield drawers_card(brief, day)
    yield buying_card(brief, buying)
    if brief.plan.supplies:
        yield supplies_card(brief, buying)
    spares = spares_card(brief, buying)
    if spares:
        yield spares
    if placement:
        yield placement_card(brief, placement, buying)
    if brief.plan.savings:
        yield savings_card(brief, buying)
    yield loads_card(brief, room)
    yield holding_card(brief, room)
    yield storage_card(brief, room)
    yield colours_card(brief, checks)
    yield warnings_card(brief, checks)
    yield method_card(brief, checks)
    yield reasons_card(brief, checks)
