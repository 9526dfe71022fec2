"""The section about proposals in the report of a folder that keeps some."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

import pytest

from kitdocs.document.blocks import Chart, Matrix, Prose
from kitdocs.document.card import Card
from kitdocs.document.walk import text_of
from kitdocs.planning.buying.design_figures import figures_of, laid_out
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.practice.proposal import DesignRecord, ProposalRecord, TakenBefore
from kitdocs.practice.values import Text
from kitdocs.report.build_report import make_report


def design(practice: Practice, plan: Plan, **other: object) -> DesignRecord:
    figures = figures_of(practice, plan.days)
    own = DesignRecord.model_construct(
        to_buy=figures.money,
        walks=figures.walks,
        from_drawers=figures.openings,
        kinds=figures.kinds,
        loads=figures.loads,
        hands=figures.hands,
        ends=figures.ends,
    )
    return own.model_copy(update=other)


def kept(practice: Practice, plan: Plan, **other: object) -> Practice:
    """The practice as if its design had been proposed, from one that differed at two procedures."""
    before = {
        p: TakenBefore.model_construct(
            set=practice.sets[record.set].name, pouches=(), laid_out=laid_out(practice, p), walks=0.0
        )
        for p, record in practice.procedures.items()
    }
    first = next(iter(before))
    before[first] = before[first].model_copy(
        update={"set": Text(plain="Old set"), "laid_out": (*before[first].laid_out[1:], "height-gauge")}
    )
    own = design(practice, plan)
    record = ProposalRecord.model_construct(
        chosen="balanced",
        days=plan.days.days,
        seed=plan.days.seed,
        designs={"balanced": own, "fewest-walks": own.model_copy(update={"walks": 0.0, "to_buy": own.to_buy * 2})},
        today=own.model_copy(update={"kinds": own.kinds + 2}),
        before=before,
    )
    return replace(practice, proposal=record.model_copy(update=other))


def section(practice: Practice, plan: Plan, language: str = "en") -> Card | None:
    cards = make_report(practice, plan, language=language).cards
    return next((card for card in cards if card.id == "plan/proposal"), None)


def rows(table: Matrix) -> Mapping[str, list[str]]:
    return {row[0].text: [cell.text for cell in row[1:]] for row in table.rows}


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_section_shows_every_design_today_s_and_what_changes_for_whom(
    example: Practice, example_plan: Plan, language: str
) -> None:
    card = section(kept(example, example_plan), example_plan, language)
    assert card is not None
    chart = next(block for block in card.front if isinstance(block, Chart))
    assert chart.table is not None
    own = design(example, example_plan)
    listed = list(rows(chart.table).values())
    assert [row[0] for row in listed] == [f"{own.to_buy:,.0f}", f"{2 * own.to_buy:,.0f}", f"{own.to_buy:,.0f}"]
    assert [row[2] for row in listed] == [str(own.kinds), str(own.kinds), str(own.kinds + 2)]
    labels = re.findall(r"<text[^>]*>([^<]*)</text>", chart.picture.data.decode())
    assert {"A", "B", {"en": "Today", "es": "Hoy"}[language]} <= set(labels)
    others, table = (block for block in card.front if isinstance(block, Matrix))
    assert [row[2] for row in rows(others).values()] == [f"{own.hands:.0f}"] * 3
    changed = rows(table)
    first, *rest = example.procedures.values()
    said = changed[first.name.in_language(language)]
    mirror, gauge = (example.instruments[i].name.in_language(language) for i in ("mirror", "height-gauge"))
    assert said[0] == "Old set"
    assert mirror in said[2] and gauge in said[2]
    words = {"en": "The same is laid out", "es": "Se prepara lo mismo"}[language]
    as_before = [record for record in rest if not any(share < 1 for share in record.add_ons.values())]
    assert as_before
    for record in as_before:
        assert changed[record.name.in_language(language)][2] == words


def test_a_folder_that_was_changed_since_is_told_so_and_only_on_the_days_of_the_proposal(
    example: Practice, example_plan: Plan
) -> None:
    same = kept(example, example_plan)
    fewer = design(example, example_plan, to_buy=design(example, example_plan).to_buy + 1)
    changed = kept(example, example_plan, designs={"balanced": fewer})
    elsewhere = kept(example, example_plan, designs={"balanced": fewer}, days=example_plan.days.days + 1)
    said = [
        any("was changed after" in text_of(block) for block in card.front if isinstance(block, Prose))
        for practice in (same, changed, elsewhere)
        if (card := section(practice, example_plan))
    ]
    assert said == [False, True, False]


def test_without_proposals_there_is_no_section(example: Practice, example_plan: Plan) -> None:
    assert section(example, example_plan) is None
