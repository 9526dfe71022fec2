"""Chart of designs: money across, walks up, a larger dot for more kinds; the line of those that none beats in both."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import cos, hypot, pi, sin, sqrt

from kitdocs.drawings.axes import Scale, money_ticks, round_ticks, value_axis, value_words, widest
from kitdocs.drawings.drawing import FAINT, INK, SHADE, WHITE, Drawing, document, number, rect, straight, text
from kitdocs.drawings.lettering import CAP_HEIGHT, SMALL, text_width

_TOP, _FOOT = 14.0, 10.0
_SMALLEST, _LARGEST = 1.0, 2.6
_AROUND = 16


@dataclass(frozen=True, slots=True, kw_only=True)
class DesignPoint:
    """A design: what it is called on the chart, and what it comes to."""

    label: str
    money: float
    walks: float
    kinds: int
    is_today: bool = False
    """Drawn as a square."""
    is_chosen: bool = False
    """Filled."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FrontierWords:
    """The words on the chart, in the page's language."""

    money: str
    walks: str
    kinds: Callable[[int], str]
    """``18 kinds``."""


def frontier_chart(
    points: Sequence[DesignPoint],
    *,
    words: FrontierWords,
    money_words: Callable[[float], str],
    width_mm: float,
    height_mm: float = 74.0,
) -> Drawing:
    """Draw designs by what they cost and how often somebody walks. Raises ValueError where there is none."""
    if not points:
        raise ValueError("a chart of designs needs at least one")
    ticks = money_ticks(min(p.money for p in points), max(p.money for p in points))
    up = round_ticks(max(p.walks for p in points), whole=True)
    left = widest([value_words(tick) for tick in up], SMALL) + 2.6
    half = widest([money_words(tick) for tick in ticks], SMALL) / 2
    x = Scale(low=ticks[0], high=ticks[-1], start_mm=left + max(half, 3.4), end_mm=width_mm - max(half, 3.4) - 0.5)
    y = Scale(low=0, high=up[-1], start_mm=height_mm - _FOOT - 3.4, end_mm=_TOP)
    floor = height_mm - _FOOT
    elements = value_axis(y, up, left=left, right=width_mm - 2)
    for tick in ticks:
        elements.append(straight(x(tick), floor, x(tick), floor + 1.2, line=0.3))
        label = money_words(tick)
        elements.append(text(label, x(tick), floor + 1.8 + SMALL * 0.8, size=SMALL, anchor="middle", colour=FAINT))
    elements.append(straight(left, floor, width_mm - 2, floor, line=0.3))
    elements.append(text(words.walks, 0, 8.6, size=SMALL, colour=FAINT))
    elements.append(text(words.money, width_mm - 0.5, height_mm - 1.2, size=SMALL, anchor="end", colour=FAINT))
    elements += _unbeaten(points, x, y)
    spots = [_Spot(x(p.money), y(p.walks), _radius(points, p.kinds), p) for p in points]
    for spot in sorted(spots, key=lambda spot: -spot.radius):
        elements.append(_dot(spot))
    room = (0.5, _TOP - 4, width_mm - 0.5, floor - 0.5)
    return document([*elements, *_labels(spots, room), *_key(points, words)], width_mm=width_mm, height_mm=height_mm)


@dataclass(frozen=True, slots=True)
class _Spot:
    x: float
    y: float
    radius: float
    point: DesignPoint


def _radius(points: Sequence[DesignPoint], kinds: int) -> float:
    """A dot's area grows with the kinds."""
    few, many = min(p.kinds for p in points), max(p.kinds for p in points)
    share = (kinds - few) / (many - few) if many > few else 0.0
    return sqrt(_SMALLEST**2 + share * (_LARGEST**2 - _SMALLEST**2))


def _unbeaten(points: Sequence[DesignPoint], x: Scale, y: Scale) -> list[str]:
    """The stairs under which no design lies: each step is one that none beats in money and walks at once."""
    stairs: list[DesignPoint] = []
    for point in sorted((p for p in points if not p.is_today), key=lambda p: (p.money, p.walks)):
        if not stairs or point.walks < stairs[-1].walks:
            stairs.append(point)
    if len(stairs) < 2:
        return []
    path = [f"M{number(x(stairs[0].money))} {number(y(stairs[0].walks))}"]
    path += [f"H{number(x(point.money))}V{number(y(point.walks))}" for point in stairs[1:]]
    return [f'<path d="{"".join(path)}" fill="none" stroke="{SHADE}" stroke-width="0.8"/>']


def _dot(spot: _Spot) -> str:
    fill = INK if spot.point.is_chosen else WHITE
    if spot.point.is_today:
        side = spot.radius * sqrt(pi)
        return rect(spot.x - side / 2, spot.y - side / 2, side, side, fill=fill, line=0.5)
    at = f'cx="{number(spot.x)}" cy="{number(spot.y)}" r="{number(spot.radius)}"'
    return f'<circle {at} fill="{fill}" stroke="{INK}" stroke-width="0.5"/>'


def _labels(spots: Sequence[_Spot], room: tuple[float, float, float, float]) -> Iterator[str]:
    """The labels, each beside its dot where it covers no other dot and no label before it."""
    taken: list[tuple[float, float, float, float]] = []
    for spot in spots:
        bold = spot.point.is_chosen or spot.point.is_today
        wide, high = text_width(spot.point.label, SMALL, bold=bold), SMALL * CAP_HEIGHT
        places = list(_places(spot, wide, high))
        box = min(places, key=lambda box: (_covers(box, spots, taken, room), places.index(box)))
        taken.append(box)
        yield text(spot.point.label, box[0], (box[1] + box[3]) / 2, size=SMALL, bold=bold, centred=True)


def _places(spot: _Spot, wide: float, high: float) -> Iterator[tuple[float, float, float, float]]:
    """Boxes around a dot, from the upper right on, near before far."""
    for away in (0.9, 2.4, 4.2):
        for n in range(_AROUND):
            turn = pi / 4 + (n + 1) // 2 * (1 if n % 2 else -1) * 2 * pi / _AROUND
            reach = spot.radius + away
            cx = spot.x + cos(turn) * (reach + wide / 2)
            cy = spot.y - sin(turn) * (reach + high / 2)
            yield (cx - wide / 2, cy - high / 2, cx + wide / 2, cy + high / 2)


def _covers(
    box: tuple[float, float, float, float],
    spots: Sequence[_Spot],
    taken: Sequence[tuple[float, float, float, float]],
    room: tuple[float, float, float, float],
) -> int:
    left, top, right, low = box
    outside = left < room[0] or top < room[1] or right > room[2] or low > room[3]
    dots = sum(
        hypot(spot.x - min(max(spot.x, left), right), spot.y - min(max(spot.y, top), low)) < spot.radius + 0.5
        for spot in spots
    )
    others = sum(left < r + 0.5 and right > q - 0.5 and top < s + 0.4 and low > t - 0.4 for q, t, r, s in taken)
    return 100 * outside + dots + others


def _key(points: Sequence[DesignPoint], words: FrontierWords) -> Iterator[str]:
    """How large the dots of the fewest and of the most kinds are."""
    at = 0.5
    for kinds in sorted({min(p.kinds for p in points), max(p.kinds for p in points)}):
        radius = _radius(points, kinds)
        circle = f'cx="{number(at + radius)}" cy="3.2" r="{number(radius)}"'
        yield f'<circle {circle} fill="{WHITE}" stroke="{INK}" stroke-width="0.5"/>'
        label = words.kinds(kinds)
        at += 2 * radius + 1.2
        yield text(label, at, 3.2, size=SMALL, centred=True)
        at += text_width(label, SMALL) + 5
