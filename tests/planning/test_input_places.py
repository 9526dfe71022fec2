"""Each input of a figure leads to the words of the practice folder that it was read from."""

from __future__ import annotations

import re
from collections import defaultdict
from pathlib import Path

from kitdocs.planning.plan import Plan
from kitdocs.practice.message import Message
from kitdocs.practice.model import Practice

#: The file, and the key in front of the value; a whole record or an element of a list has none.
PLACES = {
    "visits": {("procedures.yaml", "per_day")},
    "service": {("practice.yaml", "service")},
    "setup": {("room.yaml", "setup")},
    "drawer": {("chairs.yaml", pouch) for pouch in ("bends", "ties", "trim", "hard-wire", "loose-band")},
    "in-drawer": {("chairs.yaml", pouch) for pouch in ("bends", "ties", "trim", "hard-wire", "loose-band")},
    "restocking": {("room.yaml", "")},
    "closes": {("practice.yaml", "closes")},
    "owned": {("cassettes.yaml", "on_hand"), ("stock.csv", "")},
    "inside": {("cassettes.yaml", "inside")},
    "outside": {("cassettes.yaml", "outside")},
    "overlap": {("room.yaml", "overlap")},
    "capacity": {
        ("room.yaml", size) for size in ("slim", "medium", "large", "small-pouch", "medium-pouch", "large-pouch")
    },
    "chamber": {("room.yaml", "chamber")},
    "exposure": {("room.yaml", "steam")},
    "drying": {("room.yaml", "steam")},
    "reading-distance": {("practice.yaml", "reading_distance")},
    "scanning-distance": {("practice.yaml", "scanning_distance")},
    "shelf-length": {("room.yaml", "length")},
    "in-a-pack": {
        ("instruments.yaml", "single_use"),
        ("room.yaml", ""),
        *(("room.yaml", supply) for supply in ("air_removal_test", "internal_indicator", "spore_test", "tape")),
    },
}


def test_each_input_leads_to_its_own_value(example: Practice, example_plan: Plan) -> None:
    found = defaultdict(set)
    for given in (given for figure in example_plan.figures for given in figure.inputs):
        place = re.fullmatch(r"([\w.]+):(\d+):(\d+)", str(given.source))
        if place and isinstance(given.name, Message):
            lines = Path(example.folder, place[1]).read_text("utf-8").splitlines()
            before = lines[int(place[2]) - 1][: int(place[3]) - 1]
            key = re.search(r"([\w-]+): $", before)
            found[given.name.key.removeprefix("figures.input.")].add((place[1], key[1] if key else ""))
    assert {name: places for name, places in found.items() if name in PLACES} == PLACES


def test_an_input_about_a_stage_leads_to_that_stage(example: Practice, example_plan: Plan) -> None:
    lines = Path(example.folder, "room.yaml").read_text("utf-8").splitlines()
    seen = set()
    for given in (given for figure in example_plan.figures for given in figure.inputs):
        if isinstance(given.name, Message) and given.name.key == "figures.input.stage":
            row = int(str(given.source).split(":")[1])
            seen.add(lines[row - 2].strip().rstrip(":"))
            assert lines[row - 2].strip() == f"{dict(given.name.values)['stage']}:"
    assert seen == set(example.room.stages) - {"cool"}, "which only rests"


def test_what_is_stated_nowhere_leads_nowhere(example_plan: Plan) -> None:
    parts = {"figures.part.setup", "figures.part.in-use", "figures.part.carry"}
    given = [i for figure in example_plan.figures for i in figure.inputs if isinstance(i.name, Message)]
    assert {str(i.source) for i in given if i.name.key in parts} == {""}
