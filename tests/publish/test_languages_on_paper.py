"""The example's sheets in each language beside English and Spanish: nothing that is printed crosses or leaves anything.

Its names stay English, as of a practice that has only begun to translate; pseudo-languages have longer ones.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from ink_scan import FROM_TRIM, FROM_TRIM_OF_LABEL, Fault, faults

from kitdocs.document.card import Handbook
from kitdocs.handbook.build_handbook import make_handbook
from kitdocs.handbook.survey.build_survey import make_survey
from kitdocs.planning.plan import make_plan
from kitdocs.practice.model import Practice
from kitdocs.publish.print.documents import BINDER, DOCUMENTS, LABELS, plan_report, sheets
from kitdocs.publish.print.rendering import Rendering
from kitdocs.publish.print.workers import Workers
from kitdocs.report.build_report import make_reports
from kitdocs.shipped import shipped_languages

pytestmark = pytest.mark.whole

LANGUAGES = sorted({*shipped_languages()} - {"en", "es"})


@pytest.fixture(scope="module", params=LANGUAGES)
def spoken(request: pytest.FixtureRequest, example: Practice) -> Practice:
    """The example in one language."""
    settings = example.settings.model_copy(update={"languages": (request.param,)})
    return replace(example, settings=settings)


def test_no_ink_of_any_document_crosses_or_leaves_anything(spoken: Practice) -> None:
    plan = make_plan(spoken, days=1)
    handbook = make_handbook(spoken, plan)
    tabs = {"".join(name.split()) for name in sections_of(handbook)}
    found: dict[str, list[Fault]] = {}
    with Workers() as workers:
        for document in DOCUMENTS:
            pdf = document.render(Rendering(handbook, workers.run()))
            seen = faults(pdf, from_cut=FROM_TRIM_OF_LABEL if document is LABELS else FROM_TRIM)
            # A tab of the binder stands at the edge on purpose.
            found[document.file] = [each for each in seen if not (document is BINDER and is_of_tab(each, tabs))]
        (report,) = make_reports(spoken, plan, ())
        found["plan.pdf"] = faults(plan_report(Rendering(report, workers.run())))
    survey = make_survey(spoken)
    found["survey.pdf"] = faults(sheets(survey, survey.cards, title="survey"))
    assert {file: each for file, each in found.items() if each} == {}
    assert len(found) == len(DOCUMENTS) + 2


def sections_of(handbook: Handbook) -> set[str]:
    return {card.section for card in handbook.cards}


def is_of_tab(fault: Fault, tabs: set[str]) -> bool:
    return fault.kind == "near the edge" and any(fault.words in tab for tab in tabs)
