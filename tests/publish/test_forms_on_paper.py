"""Forms on the finished page: it is filled, there is room to write, and the edition stands in the foot."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Literal

import numpy as np
import pytest
from pdf_pages import page_sizes_mm, page_texts, pixels

from kitdocs.document.blocks import FormGrid
from kitdocs.document.card import Handbook
from kitdocs.handbook.brief import brief_for
from kitdocs.handbook.forms import round_sheet
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.publish.print.documents import FORMS, sheets
from kitdocs.publish.print.rendering import Rendering

pytestmark = pytest.mark.whole

# Common practice, no source: a hand needs 8 mm.
LINE_MM = 8.0
LOGS = ("forms/load-log", "forms/spore-test-log", "forms/repair-log")


def ruled_mm(pdf: bytes, page: int) -> np.ndarray:
    """Where rules run over more than half of the page's width, in mm from the top."""
    dark = pixels(pdf, page, 200).max(axis=2) < 150
    rows = np.flatnonzero(dark.sum(axis=1) > dark.shape[1] / 2)
    starts = rows[np.diff(rows, prepend=-9) > 1]
    return starts * 25.4 / 200


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("language", [0, 1])
def test_a_log_lies_on_one_page_and_fills_it_with_lines_for_hands(
    example_handbooks: tuple[Handbook, ...], paper: Literal["letter", "a4"], language: int
) -> None:
    book = replace(example_handbooks[language], paper=paper)
    pdf = sheets(book, [book.card(name) for name in LOGS], title="Logs")
    sizes = page_sizes_mm(pdf)
    assert len(sizes) == len(LOGS), "a page each"
    for page, (width, height) in enumerate(sizes):
        assert width > height, "logs have many columns"
        rules = ruled_mm(pdf, page)
        gaps = np.diff(rules)
        lines = gaps[-8:]
        assert lines.min() >= LINE_MM and lines.max() - lines.min() < 0.5, "all lines alike"
        assert (gaps >= LINE_MM).sum() >= 10
        assert height - rules[-1] < 27, "the last line is at the foot of the page"


def test_the_edition_stands_on_every_page_of_every_form(example_handbooks: tuple[Handbook, ...]) -> None:
    book = example_handbooks[0]
    pages = page_texts(FORMS.render(Rendering(book)))
    cards = [card for card in book.cards if card.kind == "form"]
    for card in cards:
        assert any(f"edition {card.edition}" in page for page in pages)
    assert all("edition " in page for page in pages)
    # A table that goes on repeats what its rows belong to.
    count = [page for page in pages if "· Stock count form" in page]
    assert len(count) > 1 and all("Instruments" in page or "Packed pouches" in page for page in count)


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("language", [0, 1])
def test_a_round_sheet_is_one_page_that_two_rounds_fill(
    example_handbooks: tuple[Handbook, ...], paper: Literal["letter", "a4"], language: int
) -> None:
    book = replace(example_handbooks[language], paper=paper)
    card = book.card("forms/round")
    pdf = sheets(book, [card], title="Round")
    ((_, height),) = page_sizes_mm(pdf)
    grid = card.blocks[-1]
    assert isinstance(grid, FormGrid)
    (text,) = page_texts(pdf)
    assert all(text.count(row[0].detail.split(" · ")[0]) == 2 for row in grid.given)
    assert text.count(grid.fields[0]) == 2
    rules = ruled_mm(pdf, 0)
    assert (np.diff(rules) >= LINE_MM).sum() >= 2 * len(grid.given)
    assert height - rules[-1] < 40, "no third of the page is left blank"


@pytest.mark.parametrize("chairs", [12, 25, 40])
def test_no_table_of_a_round_sheet_is_parted_between_two_pages(
    example: Practice, example_plan: Plan, example_handbooks: tuple[Handbook, ...], chairs: int
) -> None:
    """Of the third table three rows stood on the first page, and two on the next."""
    first, *_ = example.chairs
    many = {f"chair-{n}": example.chairs[first] for n in range(chairs)}
    pars = {(new, of): par for new in many for (old, of), par in example_plan.days.pars.items() if old == first}
    plan = replace(example_plan, days=replace(example_plan.days, pars=pars))
    brief = brief_for(replace(example, chairs=many), plan)
    card = replace(round_sheet(brief), edition="ABCDE")
    grids = [block for block in card.blocks if isinstance(block, FormGrid)]
    codes = [row[0].detail.split(" · ")[0] for row in grids[0].given]
    pages = page_texts(sheets(example_handbooks[0], [card], title="Round"))
    whole = [{len(re.findall(rf"\b{code}\b", page)) for code in codes} for page in pages]
    assert all(len(counts) == 1 for counts in whole), "as many first rows as last ones on every page"
    assert sum(count for counts in whole for count in counts) == len(grids)


def test_rows_that_are_given_never_lie_on_each_other(example_handbooks: tuple[Handbook, ...]) -> None:
    book = replace(example_handbooks[1], paper="a4")
    pdf = sheets(book, [book.card("forms/training")], title="Training")
    assert len(page_sizes_mm(pdf)) == 1, "a person's sheet is one sheet"
    gaps = np.diff(ruled_mm(pdf, 0))
    topics = sum(len(row) > 1 for row in book.card("forms/training").blocks[-1].given)  # type: ignore[union-attr]
    assert (gaps >= LINE_MM).sum() >= topics
