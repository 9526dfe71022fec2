"""What is bought in each step, against how many there are before and after it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitdocs.document.blocks import Matrix
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.practice.room import Candidate, MachineStage
from kitdocs.report.build_report import make_report


@pytest.mark.parametrize("language", ["en", "es", "de", "fr"])
def test_what_a_step_buys_is_the_difference_of_what_there_is(
    example: Practice, example_plan: Plan, language: str
) -> None:
    report = make_report(example, example_plan, language=language)
    card = next(card for card in report.cards if card.id == "plan/steps")
    _, buys, counts = (block for block in card.front if isinstance(block, Matrix))
    there = {row[0].text: [int(cell.text) for cell in row[1:]] for row in counts.rows}
    assert len(buys.rows) == len(counts.head) - 2
    for n, row in enumerate(buys.rows):
        parts = row[1].text.split(" · ")
        listed = {name: int(number) for number, name in (part.split("\u00a0×\u00a0") for part in parts)}
        assert listed == {name: own[n + 1] - own[n] for name, own in there.items() if own[n + 1] > own[n]}


def test_what_the_room_could_have_is_told_to_be_left_out_of_the_steps(example: Practice, example_plan: Plan) -> None:
    washer = Candidate.model_validate({"name": "A second washer", "stage": "wash", "price": 4000})
    room = example.room.model_copy(update={"candidates": {"washer": washer}})
    report = make_report(replace(example, room=room), example_plan, language="en")
    card = next(card for card in report.cards if card.id == "plan/steps")
    told, table = card.front[-2:]
    assert "Not in these steps" in str(told) and isinstance(table, Matrix)
    (row,) = table.rows
    stage = example.room.stages["wash"]
    assert isinstance(stage, MachineStage)
    assert [cell.text for cell in row[:2]] == ["A second washer", "4,000.00"]
    names = {id_: cassette.name for id_, cassette in example.cassettes.items()}
    names |= {id_: size.name for id_, size in example.room.pouch_sizes.items()}
    for id_, n in stage.each[0].capacity.items():
        assert f"{n} × {names[id_].in_language('en')}" in row[2].text
    assert f"a load takes {stage.each[0].cycle:.0f} min" in row[2].text
    without = make_report(example, example_plan, language="en")
    assert "Not in these steps" not in str(next(card for card in without.cards if card.id == "plan/steps"))
