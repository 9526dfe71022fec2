"""Changes since the cards were printed: cards to replace, and figures and inputs that moved."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kitdocs.document.card import Handbook
from kitdocs.document.history import Replacement
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.practice.printed import PrintRecord
from kitdocs.revisions.inputs import Moved, figures_kept, inputs_kept, moved
from kitdocs.revisions.replacements import due_replacements


@dataclass(frozen=True, slots=True, kw_only=True)
class Since:
    """Cards to replace, by language, and what moved since the run named `since` (empty when nothing is recorded).

    Figures and inputs are listed side by side; `kitdocs plan --set` shows which input moved which figure.
    """

    since: str
    date: str = ""
    by: str = ""
    replacements: Mapping[str, tuple[Replacement, ...]]
    figures: tuple[Moved, ...] = ()
    inputs: tuple[Moved, ...] = ()

    @property
    def current(self) -> bool:
        """Whether everything posted is as the handbook has it."""
        return not self.replacements


def since_printed(practice: Practice, plan: Plan, handbooks: Sequence[Handbook]) -> Since:
    """Return the changes since the oldest print run that is out of date, or since the last one when none is."""
    record = practice.printed
    found = due_replacements(record, handbooks)
    name = _compared_run(record, found)
    if not name:
        return Since(since="", replacements=found)
    run = record.runs[name]
    return Since(
        since=name,
        date=run.date,
        by=run.by,
        replacements=found,
        figures=moved(run.figures, figures_kept(plan)),
        inputs=moved(run.inputs, inputs_kept(practice)),
    )


def _compared_run(record: PrintRecord, found: Mapping[str, Sequence[Replacement]]) -> str:
    """Return the name of the run to compare figures with; a run that only takes cards out has none."""
    out_of_date = {
        record.posted[replacement.card, language].run
        for language, due in found.items()
        for replacement in due
        if (replacement.card, language) in record.posted
    }
    with_figures = [name for name in record.in_order if record.runs[name].figures]
    return next((name for name in with_figures if name in out_of_date), with_figures[-1] if with_figures else "")


def for_print(since: Since, handbooks: Sequence[Handbook]) -> list[tuple[Handbook, tuple[Replacement, ...]]]:
    """Return the handbooks with cards to replace.

    Cards of a language that is no longer printed come with the first handbook: they are only taken out.
    """
    languages = [handbook.language for handbook in handbooks]
    orphans = tuple(card for language, due in since.replacements.items() if language not in languages for card in due)
    by_handbook = [
        (handbook, since.replacements.get(handbook.language, ()) + (orphans if n == 0 else ()))
        for n, handbook in enumerate(handbooks)
    ]
    return [(handbook, due) for handbook, due in by_handbook if due]
