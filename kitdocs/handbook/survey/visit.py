"""Input of every survey sheet: the messages of one language and, if given, the practice."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kitdocs.document.blocks import Block, Cell, FormGrid
from kitdocs.document.card import Card
from kitdocs.document.catalog import MessageCatalog
from kitdocs.handbook.layout import steps
from kitdocs.practice.model import Practice
from kitdocs.practice.values import Text


@dataclass(frozen=True, slots=True, kw_only=True)
class SurveyBrief:
    """Messages and practice behind the sheets. `practice` is None for blank sheets."""

    words: MessageCatalog
    practice: Practice | None = None

    def say(self, text: Text) -> str:
        """Return a text of the practice in the language of the sheets."""
        return text.in_language(self.words.language)

    def ask(self, sheet: str, name: str) -> str:
        """Return a question or heading of a sheet."""
        return self.words(f"survey.{sheet}.{name}")

    def columns(self, sheet: str, *names: str, remarks: bool = True) -> tuple[str, ...]:
        """Return the column heads of a sheet."""
        return (*(self.ask(sheet, name) for name in names), *((self.words("survey.remarks"),) if remarks else ()))

    def card(self, sheet: str, files: Sequence[str], *blocks: Block, landscape: bool = False) -> Card:
        """Return a sheet: its rule, the files of the practice folder that it fills, and its grids."""
        sentences = [self.ask(sheet, "rule"), *([self.words("survey.check")] if self.practice else [])]
        rules = steps("", sentences, numbered=False)
        return Card(
            id=f"survey/{sheet}",
            kind="form",
            title=self.ask(sheet, "title"),
            subtitle=self.words("survey.goes-into", files=", ".join(files)),
            section=self.words("survey.section"),
            front=(rules, *blocks),
            landscape=landscape,
        )


def ruled(
    columns: tuple[str, ...], widths: tuple[float, ...], given: Sequence[tuple[Cell, ...]] = (), more: int = 4
) -> FormGrid:
    """Return a grid of the `given` rows with `more` empty ones, or a page of empty rows if none are given."""
    return FormGrid(columns=columns, widths=widths, rows=more if given else 10, given=tuple(given))


def millimetres(*lengths: float) -> str:
    """Format lengths: ``203 × 152 mm``."""
    return " × ".join(f"{length:.0f}" for length in lengths) + " mm"


def minutes(time: float) -> str:
    """Format a time: ``34 min``, ``90 s``."""
    return f"{time:g} min" if time >= 1 and round(time, 2) == round(time) else f"{time * 60:.0f} s"
