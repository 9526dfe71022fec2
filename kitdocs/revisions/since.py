"""What is different since the cards were printed: what to exchange, and which figures and inputs moved."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kitdocs.document.card import Handbook
from kitdocs.document.history import Replacement
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.practice.printed import PrintRecord
from kitdocs.revisions.inputs import Moved, figures_kept, inputs_kept, moved
from kitdocs.revisions.replacements import exchanges


@dataclass(frozen=True, slots=True, kw_only=True)
class Since:
    """What to exchange, by language, and what moved since the act `since` (its name; empty when nothing is recorded).

    Figures and inputs stand beside each other; that one moved the other is not said. `kitdocs plan --set` can tell.
    """

    since: str
    date: str = ""
    by: str = ""
    exchanges: Mapping[str, tuple[Replacement, ...]]
    figures: tuple[Moved, ...] = ()
    inputs: tuple[Moved, ...] = ()

    @property
    def current(self) -> bool:
        """Whether everything hangs as the handbook has it."""
        return not self.exchanges


def since_printed(practice: Practice, plan: Plan, handbooks: Sequence[Handbook]) -> Since:
    """What is different since the oldest printing that is out of date; since the last one when none is."""
    record = practice.printed
    found = exchanges(record, handbooks)
    name = _reached_back_to(record, found)
    if not name:
        return Since(since="", exchanges=found)
    act = record.acts[name]
    return Since(
        since=name,
        date=act.date,
        by=act.by,
        exchanges=found,
        figures=moved(act.figures, figures_kept(plan)),
        inputs=moved(act.inputs, inputs_kept(practice)),
    )


def _reached_back_to(record: PrintRecord, found: Mapping[str, Sequence[Replacement]]) -> str:
    """The act to compare the figures with. An act that only takes cards out holds none."""
    out_of_date = {
        record.hanging[exchange.card, language].act
        for language, of in found.items()
        for exchange in of
        if (exchange.card, language) in record.hanging
    }
    with_figures = [name for name in record.in_order if record.acts[name].figures]
    return next((name for name in with_figures if name in out_of_date), with_figures[-1] if with_figures else "")


def for_print(since: Since, handbooks: Sequence[Handbook]) -> list[tuple[Handbook, tuple[Replacement, ...]]]:
    """The handbooks in which something is to be exchanged. Cards of a language that is printed no more come with the
    first handbook: they are only taken out.
    """
    languages = [handbook.language for handbook in handbooks]
    orphans = tuple(e for language, of in since.exchanges.items() if language not in languages for e in of)
    by_handbook = [
        (handbook, since.exchanges.get(handbook.language, ()) + (orphans if n == 0 else ()))
        for n, handbook in enumerate(handbooks)
    ]
    return [(handbook, of) for handbook, of in by_handbook if of]
