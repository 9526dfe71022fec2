"""Chart of money against a chance: two lines through points, and one point that the page is about."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from kitdocs.drawings.axes import HAIRLINE, KEY_SAMPLE, Scale, key_places, money_ticks, value_axis, widest
from kitdocs.drawings.drawing import FAINT, INK, WHITE, Drawing, document, number, rect, straight, text
from kitdocs.drawings.lettering import SMALL, text_width

_FOOT = 6.0
_TICKS = (0.0, 20.0, 40.0, 60.0, 80.0, 100.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class ChancePoint:
    """So much money, and the two chances that it keeps, in percent."""

    money: float
    each: float
    both: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ChanceWords:
    """The words on the chart, in the page's language."""

    each: str
    both: str
    plan: str


def chance_curve(
    points: Sequence[ChancePoint],
    plan: ChancePoint,
    *,
    words: ChanceWords,
    money_words: Callable[[float], str],
    width_mm: float,
    height_mm: float = 56.0,
) -> Drawing:
    """Draw the chances that money buys, from the left to the right, and where the plan stands.

    Raises ValueError where there is no point.
    """
    if not points:
        raise ValueError("a curve needs at least one point")
    points = sorted((*points, plan), key=lambda point: (point.money, point.both))
    ticks = money_ticks(points[0].money, points[-1].money)
    left = widest(["100"], SMALL) + 2.6
    half = widest([money_words(tick) for tick in ticks], SMALL) / 2
    x = Scale(low=ticks[0], high=ticks[-1], start_mm=left + half, end_mm=width_mm - half - 0.5)
    key = key_places([words.both, words.each], left, width_mm)
    y = Scale(low=0, high=100, start_mm=height_mm - _FOOT, end_mm=key[-1][1] + 5.4)
    elements = value_axis(y, list(_TICKS), left=left, right=width_mm - 2)
    for tick in ticks:
        elements.append(straight(x(tick), y(0), x(tick), y(0) + 1.2, line=0.3))
        label = money_words(tick)
        elements.append(text(label, x(tick), y(0) + 1.8 + SMALL * 0.8, size=SMALL, anchor="middle", colour=FAINT))
    elements.append(straight(left, y(0), width_mm - 2, y(0), line=0.3))
    elements += _line(x, y, [(point.money, point.each) for point in points], dash="2 1.4")
    elements += _line(x, y, [(point.money, point.both) for point in points], dash="")
    elements += _plan(x, y, plan, words.plan)
    return document([*elements, *_key(key, words)], width_mm=width_mm, height_mm=height_mm)


def _line(x: Scale, y: Scale, points: Sequence[tuple[float, float]], *, dash: str) -> list[str]:
    path = "L".join(f"{number(x(money))} {number(y(chance))}" for money, chance in points)
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    found = [f'<path d="M{path}" fill="none" stroke="{INK}" stroke-width="0.5" stroke-linejoin="round"{dashes}/>']
    found += [_dot(x(money), y(chance), 0.8, WHITE if dash else INK) for money, chance in points]
    return found


def _dot(cx: float, cy: float, radius: float, fill: str) -> str:
    return (
        f'<circle cx="{number(cx)}" cy="{number(cy)}" r="{number(radius)}" fill="{fill}" stroke="{INK}"'
        ' stroke-width="0.3"/>'
    )


def _plan(x: Scale, y: Scale, plan: ChancePoint, words: str) -> list[str]:
    """Return the plan's point, its line down to the money, and its words beside the line or, without room, on it.

    Both lines rise, so that no point lies low beside the plan's, or to the right of it.
    """
    at, chance, wide = x(plan.money), y(plan.both), text_width(words, SMALL, bold=True)
    begin, middle = min(at + 1.6, x.end_mm - wide), y(0) - 3.4
    return [
        straight(at, chance, at, y(0), line=HAIRLINE, dash="1 1"),
        _dot(at, chance, 1.5, INK),
        rect(begin - 0.6, middle - SMALL * 0.7, wide + 1.2, SMALL * 1.4, fill=WHITE),
        text(words, begin, middle, size=SMALL, bold=True, centred=True),
    ]


def _key(places: Sequence[tuple[float, float]], words: ChanceWords) -> list[str]:
    (both, y), (each, below) = places
    return [
        straight(both, y, both + 5.5, y, line=0.5),
        text(words.both, both + KEY_SAMPLE, y, size=SMALL, centred=True),
        straight(each, below, each + 5.5, below, line=0.5, dash="2 1.4"),
        text(words.each, each + KEY_SAMPLE, below, size=SMALL, centred=True),
    ]
