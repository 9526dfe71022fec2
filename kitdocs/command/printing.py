"""Check that prints the wall cards, to find those that do not fit the size in practice.yaml."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.document.card import Handbook
from kitdocs.handbook.build_handbook import make_handbooks
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import Problem, PublishError
from kitdocs.publish.print.documents import refill_cards
from kitdocs.publish.print.rendering import Rendering


def card_problems(practice: Practice, plan: Plan) -> Iterator[Problem]:
    """Yield a problem for each language whose wall cards do not fit their size."""
    for handbook in make_handbooks(practice, plan):
        if refused := _refused(handbook):
            yield Problem(
                rule="card",
                severity="error",
                place=practice.places.value("practice", "card"),
                path="practice.card",
                message=refused,
                remedy="use a larger card, a shorter reading distance, or shorter text on it",
            )


def _refused(handbook: Handbook) -> str:
    try:
        refill_cards(Rendering(handbook))
    except PublishError as error:
        return str(error)
    return ""
