"""The planning report for adviser and owner: the plan's figures, reasons, pictures and warnings, as cards."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from kitdocs.document.card import Card, Handbook
from kitdocs.document.edition import with_edition
from kitdocs.handbook.brief import Brief, brief_for
from kitdocs.planning.buying.placement import PlacementStudy, placement_study
from kitdocs.planning.day.breaking import Breakdown, breakdowns
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.report.breaking import breakdown_card
from kitdocs.report.buying import buying_card, placement_card, savings_card, spares_card, supplies_card
from kitdocs.report.checks import colours_card, method_card, reasons_card, warnings_card
from kitdocs.report.day import day_card, turnaround_card
from kitdocs.report.evening import people_card
from kitdocs.report.first import start_card, summary_card
from kitdocs.report.promise import promise_card
from kitdocs.report.proposal import proposal_card
from kitdocs.report.room import holding_card, loads_card, storage_card
from kitdocs.report.steps import steps_card
from kitdocs.report.stock import drawers_card, out_card, sets_card
from kitdocs.report.why_there import why_there_card

#: The cards in their order; a study comes after each of the first two groups.
_DAY: tuple[Callable[[Brief], Card | None], ...] = (
    *(
        start_card,
        proposal_card,
        why_there_card,
        promise_card,
        sets_card,
        out_card,
        day_card,
        people_card,
        turnaround_card,
        drawers_card,
    ),
)
_BUYING: tuple[Callable[[Brief], Card | None], ...] = (steps_card, buying_card, supplies_card, spares_card)
_THEN: tuple[Callable[[Brief], Card | None], ...] = (
    *(savings_card, loads_card, holding_card, storage_card),
    *(colours_card, warnings_card, method_card, reasons_card),
)


def make_report(
    practice: Practice,
    plan: Plan,
    placement: Sequence[PlacementStudy] = (),
    broken: Sequence[Breakdown] = (),
    *,
    language: str = "",
) -> Handbook:
    """Return the report in one language, the practice's first by default. A `placement` study adds a card, and so does
    what may be `broken`.

    Raises `KitdocsError` when neither kitdocs nor the practice speaks the language.
    """
    settings, brief = practice.settings, brief_for(practice, plan, language)
    words = brief.words
    made = (
        summary_card(brief, broken),
        *(make(brief) for make in _DAY),
        breakdown_card(brief, broken),
        *(make(brief) for make in _BUYING),
        placement_card(brief, placement),
        *(make(brief) for make in _THEN),
    )
    return Handbook(
        practice=brief.say(settings.name),
        language=words.language,
        words=words,
        languages=settings.languages if words.language in settings.languages else (words.language,),
        paper=settings.paper,
        cards=tuple(with_edition(card) for card in made if card),
    )


def make_reports(
    practice: Practice,
    plan: Plan,
    placement: Sequence[PlacementStudy] | None = None,
    broken: Sequence[Breakdown] | None = None,
) -> tuple[Handbook, ...]:
    """Return the report in each language of the practice; the placement study, and what happens when something
    breaks, are worked out where they are not given.

    The study takes longer than the plan itself; an empty one leaves its card out.
    """
    study = placement_study(practice, plan.days) if placement is None else placement
    breaks = breakdowns(practice, plan.days) if broken is None else broken
    languages = practice.settings.languages
    return tuple(make_report(practice, plan, study, breaks, language=language) for language in languages)
