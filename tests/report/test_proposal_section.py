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
from kitdocs.practice.proposal import DesignMade, DesignRecord, Elsewhere, ProposalRecord, TakenBefore, WhyThere
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


def section(practice: Practice, plan: Plan, language: str = "en", name: str = "proposal") -> Card | None:
    cards = make_report(practice, plan, language=language).cards
    return next((card for card in cards if card.id == f"plan/{name}"), None)


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


def test_each_instrument_of_the_chosen_design_has_its_reason_in_each_language(
    example: Practice, example_plan: Plan
) -> None:
    outside = Elsewhere.model_construct(place="drawer", of=("wire-change",), to_buy=-120.0, from_drawers=3.54)
    inside = Elsewhere.model_construct(place="set", of=("core",), never="cassette")
    why = {
        "core": WhyThere.model_construct(instruments={"scaler": (outside,)}),
        "bends": WhyThere.model_construct(instruments={"bird-beak": (inside,)}),
    }
    made = DesignMade.model_construct(procedures={}, kept=("exam",), why=why)
    practice = kept(
        example, example_plan, made_of={"balanced": made, "fewest-walks": made.model_copy(update={"why": {}})}
    )
    for language, drawer, not_possible, always in (
        (
            "en",
            "In the drawers for Archwire change: −120 USD to buy, +3.5 pouches from drawers a day.",
            "not possible",
            "Wanted",
        ),
        (
            "es",
            "En los cajones para Cambio de arco: −120 USD por comprar, +3.5 bolsas de cajones al día.",
            "no es posible",
            "De uso en cada cita",
        ),
    ):
        card = section(practice, example_plan, language, "why-there")
        assert card is not None
        core, bends = (block for block in card.front if isinstance(block, Matrix))
        assert len(core.rows) == len(set(example.sets["core"].contents))
        scaler = example.instruments["scaler"].name.in_language(language)
        assert rows(core)[scaler][0].endswith(drawer)
        assert rows(core)[example.instruments["mirror"].name.in_language(language)][0].startswith(always)
        beak = rows(bends)[example.instruments["bird-beak"].name.in_language(language)][0]
        assert not_possible in beak and example.sets["core"].name.in_language(language) in beak
        headed = [text_of(block) for block in card.front if isinstance(block, Prose)]
        assert len([text for text in headed if example.sets["exam"].name.in_language(language) in text]) == 1
    other = replace(
        practice, proposal=practice.proposal and practice.proposal.model_copy(update={"chosen": "fewest-walks"})
    )
    assert section(other, example_plan, name="why-there") is None, "of a design that was not chosen nothing was asked"
