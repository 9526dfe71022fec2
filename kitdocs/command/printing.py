"""Check that prints what has a fixed size, to find words that have no room on it."""

from __future__ import annotations

import re
from collections.abc import Iterator

from kitdocs.cache import Cache
from kitdocs.handbook.fixed_size import cards_of_fixed_size
from kitdocs.planning.plan import Plan
from kitdocs.practice.locations import Path
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import Problem, PublishError
from kitdocs.practice.rules.looking import texts
from kitdocs.publish.print.cached_run import CachedRun
from kitdocs.publish.print.copyfitting import CardFits
from kitdocs.publish.print.documents import LABELS, POSTER, REFILL_CARDS, SET_TEMPLATES, Document
from kitdocs.publish.print.rendering import Rendering
from kitdocs.publish.print.workers import Workers

#: What is printed in a fixed size, where that size is written, and what would help.
_FIXED = (
    (REFILL_CARDS, ("practice", "card"), "use a larger card, a shorter reading distance, or shorter text on it"),
    (LABELS, ("practice", "labels"), "use larger labels, or a shorter name"),
    (POSTER, ("practice", "paper"), "use a shorter name"),
    (SET_TEMPLATES, ("practice", "paper"), "use a smaller cassette, larger paper, or a shorter name"),
)


def card_problems(practice: Practice, plan: Plan, cache: Cache) -> Iterator[Problem]:
    """Yield a problem for each language and each kind of card or label whose words have no room on it."""
    with Workers() as workers:
        run = CachedRun(workers.run(), cache)
        fits = CardFits(workers.run(), cache)
        for handbook in cards_of_fixed_size(practice, plan):
            rendering = Rendering(handbook, run, fits=fits, trial=True)
            for document, size, remedy in _FIXED:
                if refused := _refused(document, rendering):
                    path = _written(practice, refused, handbook.language) or size
                    yield Problem(
                        rule="card",
                        severity="error",
                        place=practice.places.value(*path),
                        path=".".join(map(str, path)),
                        message=refused,
                        remedy=remedy,
                    )


def _refused(document: Document, rendering: Rendering) -> str:
    try:
        document.render(rendering)
    except PublishError as error:
        return str(error)
    return ""


def _written(practice: Practice, message: str, language: str) -> Path | None:
    """Where the words that a message quotes first are written; None where no name of the folder is just these."""
    quoted = re.search("“(.+?)”", message)
    stems = ("practice", "chairs", "instruments", "cassettes", "sets", "pouches", "procedures", "room")
    for stem in stems if quoted else ():
        for path, text in texts((stem,), practice.settings if stem == "practice" else getattr(practice, stem)):
            if quoted and text.in_language(language) == quoted[1]:
                return path
    return None
