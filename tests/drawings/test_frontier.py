from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise
from math import hypot
from random import Random
from xml.etree import ElementTree as ET

import pytest

from kitdocs.drawings.drawing import Drawing
from kitdocs.drawings.frontier import DesignPoint, FrontierWords, frontier_chart
from kitdocs.drawings.lettering import CAP_HEIGHT, SMALL, text_width

FOUND: Sequence[tuple[str, float, float, int]] = [
    ("A", 11535, 9.4, 18),
    ("B", 13898, 3.7, 19),
    ("C", 9364, 22.1, 23),
    ("D", 18494, 0.0, 23),
    ("E", 13267, 12, 15),
]
WORDS = FrontierWords(money="to buy, USD", walks="walks a day", kinds=lambda n: f"{n} kinds")


def points(found: Sequence[tuple[str, float, float, int]], chosen: str = "A") -> list[DesignPoint]:
    made = [
        DesignPoint(label=label, money=money, walks=walks, kinds=kinds, is_chosen=label == chosen)
        for label, money, walks, kinds in found
    ]
    return [*made, DesignPoint(label="Today", money=15154, walks=9.0, kinds=21, is_today=True)]


def drawn(found: Sequence[DesignPoint]) -> Drawing:
    return frontier_chart(found, words=WORDS, money_words=lambda n: f"{n:,.0f}", width_mm=86.0)


def circles(drawing: Drawing) -> list[tuple[float, float, float, str]]:
    """The dots of designs, without those of the key above."""
    found = re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)" r="([\d.]+)" fill="(#\w+)"', drawing.svg)
    return [(float(x), float(y), float(r), fill) for x, y, r, fill in found if float(y) != 3.2]


def labels(drawing: Drawing, known: set[str]) -> dict[str, tuple[float, float, float, float]]:
    boxes = {}
    for element in ET.fromstring(drawing.svg).iter():
        if element.tag.endswith("text") and element.text in known:
            wide = text_width(element.text, SMALL, bold="font-weight" in element.attrib)
            x, y = float(element.attrib["x"]), float(element.attrib["y"])
            boxes[element.text] = (x, y - SMALL * CAP_HEIGHT, x + wide, y)
    return boxes


def test_more_money_lies_further_right_more_walks_higher_and_more_kinds_are_a_larger_area() -> None:
    dots = circles(drawn(points(FOUND)))
    assert len(dots) == len(FOUND)
    at = {r: (x, y) for x, y, r, _ in dots}
    assert [fill for *_, fill in dots].count("#1b1b1d") == 1
    fewest = min(dots, key=lambda dot: dot[2])
    assert fewest[0] == pytest.approx(sorted(x for x, *_ in dots)[2])  # E, the third by money, has the fewest kinds
    lowest = max(dots, key=lambda dot: dot[1])
    assert lowest[0] == max(x for x, *_ in dots)  # D costs most and nobody walks
    assert len(at) == 4  # C and D have as many kinds
    areas = sorted({round(r**2, 3) for _, _, r, _ in dots})
    kinds = sorted({kinds for *_, kinds in FOUND})
    steps = [(b - a) / (m - n) for (a, b), (n, m) in zip(pairwise(areas), pairwise(kinds), strict=True)]
    assert max(steps) == pytest.approx(min(steps), rel=0.01)


def test_the_steps_go_through_just_what_no_proposal_beats_in_money_and_walks() -> None:
    drawing = drawn(points(FOUND))
    path = re.search(r'<path d="M([^"]+)" fill="none" stroke="#d0d0d3"', drawing.svg)
    assert path
    corners = re.findall(r"(?:^|V)([\d.]+)", path[1].replace(" ", "V"))
    unbeaten = [
        one for one in FOUND if not any(two[1] < one[1] and two[2] <= one[2] for two in FOUND if two is not one)
    ]
    assert len(unbeaten) == 4
    assert len(corners) == len(unbeaten) + 1  # where it begins has two numbers, each step one


@pytest.mark.parametrize("seed", range(8))
def test_everything_stays_on_the_paper_and_no_label_covers_a_dot_or_another(seed: int) -> None:
    random = Random(seed)
    found = [
        (label, random.uniform(5_000, 30_000), random.choice((0.0, random.uniform(0, 30))), random.randint(9, 30))
        for label in "ABCDEFG"
    ]
    drawing = drawn(points(found))
    boxes = labels(drawing, {*"ABCDEFG", "Today"})
    assert len(boxes) == 8
    for left, top, right, low in boxes.values():
        assert left >= 0 and right <= drawing.width_mm and top >= 0 and low <= drawing.height_mm
        for x, y, radius, _ in circles(drawing):
            assert hypot(x - min(max(x, left), right), y - min(max(y, top), low)) >= radius
    each = list(boxes.values())
    for n, (left, top, right, low) in enumerate(each):
        assert not any(left < r and right > q and top < s and low > t for q, t, r, s in each[:n])
    for x, y, radius, _ in circles(drawing):
        assert radius <= x <= drawing.width_mm - radius and radius <= y <= drawing.height_mm - radius


def test_one_design_alone_and_designs_that_are_alike_can_be_drawn() -> None:
    assert circles(drawn([DesignPoint(label="A", money=0, walks=0, kinds=3)]))
    assert len(circles(drawn(points([("A", 1000, 2, 5), ("B", 1000, 2, 5)])))) == 2
    with pytest.raises(ValueError, match="at least one"):
        drawn([])
