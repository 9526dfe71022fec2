"""Check that prints the wall cards, to find those that do not fit the size in practice.yaml."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.cache import Cache
from kitdocs.handbook.build_handbook import wall_cards
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import Problem, PublishError
from kitdocs.publish.print.cached_run import CachedRun
from kitdocs.publish.print.copyfitting import CardFits
from kitdocs.publish.print.documents import REFILL_CARDS
from kitdocs.publish.print.rendering import Rendering
from kitdocs.publish.print.workers import Workers


def card_problems(practice: Practice, plan: Plan, cache: Cache) -> Iterator[Problem]:
    """Yield a problem for each language whose wall cards do not fit their size."""
    with Workers() as workers:
        run = CachedRun(workers.run(), cache)
        fits = CardFits(workers.run(), cache)
        for handbook in wall_cards(practice, plan):
            if refused := _refused(Rendering(handbook, run, fits=fits)):
                yield Problem(
                    rule="card",
                    severity="error",
                    place=practice.places.value("practice", "card"),
                    path="practice.card",
                    message=refused,
                    remedy="use a larger card, a shorter reading distance, or shorter text on it",
                )


def _refused(rendering: Rendering) -> str:
    try:
        REFILL_CARDS.render(rendering)
    except PublishError as error:
        return str(error)
    return ""
