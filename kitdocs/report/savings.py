"""Report on savings from the change to sets, from the practice's own counts of before."""

from __future__ import annotations

from kitdocs.document.blocks import Cell, said
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.planning.buying.savings import Saving
from kitdocs.practice.numbers import plain
from kitdocs.report.amounts import amount
from kitdocs.report.layout import report_card, sentence, table


def savings_card(brief: Brief, section: str) -> Card:
    """Return the part that compares the plan with what was counted before."""
    words = brief.words
    rows = [_row(brief, saving) for saving in brief.plan.savings]
    head = [words(f"report.savings.head.{name}") for name in ("what", "before", "after", "difference")]
    blocks = (
        said(words("report.savings.intro")),
        table(words("report.savings.table"), head, rows, numbers=(1, 2, 3)),
    )
    return report_card("savings", words("report.savings.title"), section, blocks)


def _row(brief: Brief, saving: Saving) -> tuple[Cell, ...]:
    words = brief.words
    before, after = (amount(words, round(count, 1), saving.unit) for count in (saving.before, saving.after))
    return (
        Cell(text=words.say(saving.name), detail=sentence(words.say(saving.why))),
        Cell(text=before),
        Cell(text=after),
        Cell(text=_difference(brief, saving.saved)),
    )


def _difference(brief: Brief, saved: float) -> str:
    """Return the difference in words, because a minus before a saving is easily read the wrong way."""
    if not saved:
        return brief.words("report.savings.same")
    return brief.words("report.savings.less" if saved > 0 else "report.savings.more", n=plain(abs(saved)))
