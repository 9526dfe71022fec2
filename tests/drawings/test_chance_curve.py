from __future__ import annotations

import re
from itertools import pairwise
from xml.etree import ElementTree as ET

import pytest

from kitdocs.drawings.chance_curve import ChancePoint, ChanceWords, chance_curve
from kitdocs.drawings.drawing import Drawing
from kitdocs.drawings.lettering import PT, SMALL, text_width

WORDS = ChanceWords(each="each of the two promises", both="nothing short at all", plan="the plan, USD 15,352.00")
POINTS = [ChancePoint(money=money, each=each, both=both) for money, each, both in ((9e3, 50, 25), (13e3, 90, 81))]
PLAN = ChancePoint(money=15_352, each=95, both=90)


def drawn(points: list[ChancePoint], plan: ChancePoint, width: float = 86.0) -> Drawing:
    return chance_curve(points, plan, words=WORDS, money_words=lambda n: f"{n:,.0f}", width_mm=width)


def texts(drawing: Drawing) -> list[tuple[str, float, float]]:
    """Words, and where they begin and end."""
    found = []
    for element in ET.fromstring(drawing.svg).iter():
        if element.tag.endswith("text"):
            words, x, size = element.text or "", float(element.attrib["x"]), float(element.attrib["font-size"])
            wide = text_width(words, size, bold="font-weight" in element.attrib)
            left = x - wide * {"start": 0, "middle": 0.5, "end": 1}[element.attrib.get("text-anchor", "start")]
            found.append((words, left, left + wide))
    return found


def dots(drawing: Drawing) -> list[tuple[float, float, float]]:
    found = re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)" r="([\d.]+)"', drawing.svg)
    return [(float(x), float(y), float(r)) for x, y, r in found]


@pytest.mark.parametrize(
    ("points", "plan"),
    [
        (POINTS, PLAN),
        (POINTS, ChancePoint(money=8_000, each=11, both=6)),  # the plan is cheapest
        ([PLAN], PLAN),
        ([ChancePoint(money=0, each=0, both=0)], ChancePoint(money=0, each=100, both=100)),
        ([ChancePoint(money=1e6, each=5, both=5)], ChancePoint(money=9e6, each=99, both=99)),
    ],
)
def test_everything_stays_on_the_paper_and_is_large_enough_to_read(
    points: list[ChancePoint], plan: ChancePoint
) -> None:
    drawing = drawn(points, plan)
    for words, left, right in texts(drawing):
        assert left >= -0.01 and right <= drawing.width_mm + 0.01, words
    assert min(float(size) for size in re.findall(r'font-size="([\d.]+)"', drawing.svg)) >= 7 * PT - 0.005
    for x, y, radius in dots(drawing):
        assert radius <= x <= drawing.width_mm - radius and radius <= y <= drawing.height_mm - radius


def test_more_money_lies_further_right_and_a_greater_chance_higher() -> None:
    drawing = drawn(POINTS, PLAN)
    points = dots(drawing)
    (plan,) = (dot for dot in points if dot[2] > 1)
    assert len(points) == 2 * 3 + 1, "both lines have a point for each, and the plan its own"
    for line in (points[:3], points[3:6]):
        assert all(before[0] < after[0] and before[1] > after[1] for before, after in pairwise(line))
    assert plan[:2] == points[5][:2], "the plan is the last on the line of both"
    # By hand: a chance of 90 lies at a tenth of the way from the line of 100 to that of 0.
    lines = [float(y) for y in re.findall(r'y1="([\d.]+)"', drawing.svg)]
    zero, hundred = max(lines[:6]), min(lines[:6])
    assert plan[1] == pytest.approx(hundred + 0.1 * (zero - hundred), abs=0.02)


def test_money_is_named_from_below_the_least_to_above_the_most() -> None:
    told = [words for words, *_ in texts(drawn(POINTS, PLAN))]
    assert told[:6] == ["0", "20", "40", "60", "80", "100"]
    amounts = [float(words.replace(",", "")) for words in told if re.fullmatch(r"[\d,]{4,}", words)]
    assert min(amounts) <= 9_000 and max(amounts) >= 15_352
    assert {WORDS.plan, WORDS.each, WORDS.both} <= set(told)


def test_a_curve_without_points_cannot_be_drawn() -> None:
    with pytest.raises(ValueError, match="at least one point"):
        drawn([], PLAN)


def test_the_words_of_the_plan_cover_no_point() -> None:
    """Dear plans have no room at their right, cheap ones have; the points of both lines stay free of the words."""
    cheapest = [ChancePoint(money=9_100, each=11, both=7), ChancePoint(money=9_200, each=50, both=27)]
    for points in (POINTS, [*cheapest, ChancePoint(money=19_600, each=99, both=99)]):
        drawing = drawn(points, PLAN)
        ((_, left, right),) = (found for found in texts(drawing) if found[0] == WORDS.plan)
        (y_words,) = (float(e.attrib["y"]) for e in ET.fromstring(drawing.svg).iter() if e.text == WORDS.plan)
        for x, y, radius in dots(drawing):
            beside = x + radius < left or x - radius > right
            assert beside or y + radius < y_words - SMALL or y - radius > y_words + SMALL
