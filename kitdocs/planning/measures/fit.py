"""Whether a set's instruments go into a cassette, where each lies, and which cassette is the smallest.

Instruments lie along the cassette's length, side by side across its width, on one rail above the other.
A set fits when its longest piece is no longer than the inside, and its pieces can be dealt out to the
rails so that on each rail the widths and the gaps between neighbours are no wider than the inside. A hinged
instrument lies open and unlocked, and its width is that of the open one.
Thickness is not considered: the folder does not state it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import fsum, prod

from kitdocs.planning.figure import Figure, Input, stated, stated_lying
from kitdocs.planning.measures.rail_packing import Rail, on_rails
from kitdocs.practice.message import Joined, Message, counted, message
from kitdocs.practice.model import Cassette, Practice
from kitdocs.practice.problems import Problem
from kitdocs.practice.rules.looking import Values, error, warning


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """One instrument in its place. `x_mm` runs along the inside length, `y_mm` across it, from one inner corner."""

    number: int
    """1 for the first place."""
    instrument: str
    rail: int
    """1 for the lowest rail."""
    x_mm: float
    y_mm: float
    length_mm: float
    width_mm: float
    """As it lies: a hinged instrument open."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """How a set lies in its cassette; `layout` is empty when it does not fit."""

    set: str
    cassette: str
    fits: bool
    layout: tuple[Laid, ...]
    room_left_mm: tuple[float, ...]
    """What is left of the width of each rail beside the pieces and their gaps."""
    smallest: str | None
    """The practice's smallest cassette that holds the set."""
    why: Message


def fit_set(practice: Practice, set_id: str) -> Fit:
    """Return how a set of the practice fits its cassette."""
    kit = practice.sets[set_id]
    cassette = practice.cassettes[kit.cassette]
    rails = _rails(practice, kit.contents, cassette)
    smallest = smallest_cassette(practice, kit.contents)
    layout = _layout(practice, kit.contents, cassette, rails) if rails is not None else ()
    return Fit(
        set=set_id,
        cassette=kit.cassette,
        fits=rails is not None,
        layout=layout,
        room_left_mm=_room_left_on_each(practice, kit.contents, cassette, rails),
        smallest=smallest,
        why=_why(practice, kit.contents, cassette, fits=rails is not None),
    )


def smallest_cassette(practice: Practice, contents: Sequence[str]) -> str | None:
    """Return the cassette of least outside volume that holds the instruments; None when none does."""
    by_size = sorted(practice.cassettes, key=lambda c: prod(practice.cassettes[c].outside.sides))
    return next((c for c in by_size if _rails(practice, contents, practice.cassettes[c]) is not None), None)


def fit_problems(practice: Practice) -> tuple[Problem, ...]:
    """Report sets that do not fit their cassette (errors) and sets that a smaller one would hold (warnings)."""
    return tuple(p for s in practice.sets for p in _set_problems(practice, fit_set(practice, s)))


def fit_figures(practice: Practice) -> tuple[Figure, ...]:
    """Return the room left in each set's cassette."""
    return tuple(_figure(practice, fit_set(practice, s)) for s in practice.sets)


def _rails(practice: Practice, contents: Sequence[str], cassette: Cassette) -> tuple[Rail, ...] | None:
    """Which pieces (by index into `contents`) lie on which rail; None when they do not fit."""
    pieces = [practice.instruments[i] for i in contents]
    if any(piece.length > cassette.inside.length for piece in pieces):
        return None
    if cassette.positions is not None and len(pieces) > cassette.positions:
        return None
    return on_rails(
        [practice.lying_width(i) for i in contents],
        room=cassette.inside.width,
        gap=cassette.gap,
        rails=cassette.rails,
        places_per_rail=_places_per_rail(cassette),
    )


def _places_per_rail(cassette: Cassette) -> int | None:
    return None if cassette.positions is None else -(-cassette.positions // cassette.rails)


def _layout(practice: Practice, contents: Sequence[str], cassette: Cassette, rails: Sequence[Rail]) -> tuple[Laid, ...]:
    """Return each piece in the middle of the length; what is left of the width is shared evenly."""
    laid: list[Laid] = []
    for number, rail in enumerate(rails, start=1):
        share = _room_left(practice, contents, cassette, rail) / (len(rail) + 1)
        y = share
        for index in rail:
            piece = practice.instruments[contents[index]]
            laid.append(
                Laid(
                    number=len(laid) + 1,
                    instrument=contents[index],
                    rail=number,
                    x_mm=round((cassette.inside.length - piece.length) / 2, 4),
                    y_mm=round(y, 4),
                    length_mm=piece.length,
                    width_mm=practice.lying_width(contents[index]),
                )
            )
            y += laid[-1].width_mm + cassette.gap + share
    return tuple(laid)


def _room_left(practice: Practice, contents: Sequence[str], cassette: Cassette, rail: Rail) -> float:
    widths = fsum(practice.lying_width(contents[index]) for index in rail)
    return round(cassette.inside.width - widths - cassette.gap * max(0, len(rail) - 1), 4)


def _room_left_on_each(
    practice: Practice, contents: Sequence[str], cassette: Cassette, rails: Sequence[Rail] | None
) -> tuple[float, ...]:
    if rails is None:
        return ()
    unused: list[Rail] = [()] * (cassette.rails - len(rails))
    return tuple(_room_left(practice, contents, cassette, rail) for rail in [*rails, *unused])


def _why(practice: Practice, contents: Sequence[str], cassette: Cassette, *, fits: bool) -> Message:
    pieces = [practice.instruments[i] for i in contents]
    longest = max(piece.length for piece in pieces)
    widths = fsum(practice.lying_width(i) for i in contents)
    opened = widths > fsum(piece.width for piece in pieces)
    rails = message("figures.fit.rails", rails=counted("figures.rails", cassette.rails), width=cassette.inside.width)
    if cassette.positions is not None:
        rails = message("figures.fit.places", rails=rails, places=counted("figures.places", cassette.positions))
    why = counted(
        "figures.fit.pieces-open" if opened else "figures.fit.pieces",
        len(pieces),
        longest=longest,
        inside=cassette.inside.length,
        widths=widths,
        gap=cassette.gap,
        rails=rails,
    )
    return why if fits else message("figures.fit.no-way", why=why)


def _set_problems(practice: Practice, fit: Fit) -> Iterator[Problem]:
    path = ("sets", fit.set, "cassette")
    if not fit.fits:
        values: Values = {"cassette": fit.cassette, "why": _why_not(practice, fit), "smallest": fit.smallest}
        yield error(practice, "does-not-fit", path, remedy="remedy" if fit.smallest else "too-large", **values)
        return
    chosen = practice.cassettes[fit.cassette]
    if fit.smallest and prod(practice.cassettes[fit.smallest].outside.sides) < prod(chosen.outside.sides):
        yield warning(practice, "figures.warning.smaller-cassette-would-do", path, cassette=fit.smallest)


def _why_not(practice: Practice, fit: Fit) -> str:
    """Return the first thing that stands in the way, with its numbers."""
    contents = practice.sets[fit.set].contents
    cassette = practice.cassettes[fit.cassette]
    longest = max(contents, key=lambda i: practice.instruments[i].length)
    length = practice.instruments[longest].length
    if length > cassette.inside.length:
        return f"'{longest}' is {length:g} mm long and the inside {cassette.inside.length:g} mm"
    if cassette.positions is not None and len(contents) > cassette.positions:
        return f"it has {len(contents)} pieces and the cassette {cassette.positions} places"
    widths = fsum(practice.lying_width(i) for i in contents)
    gaps = cassette.gap * max(0, len(contents) - cassette.rails)
    room = cassette.inside.width * cassette.rails
    rails = counted("figures.rails", cassette.rails)
    if widths + gaps > room:
        closed = fsum(practice.instruments[i].width for i in contents)
        opened = " with hinges open" if widths > closed else ""
        return (
            f"{widths:g} mm of pieces{opened} and {gaps:g} mm of gaps are {widths + gaps:g} mm, "
            f"and {rails} of {cassette.inside.width:g} mm have {room:g} mm"
        )
    return (
        f"{len(contents)} pieces cannot be dealt out to {rails} of {cassette.inside.width:g} mm "
        f"with {cassette.gap:g} mm between neighbours"
    )


def _figure(practice: Practice, fit: Fit) -> Figure:
    kit = practice.sets[fit.set]
    cassette = practice.cassettes[fit.cassette]
    inside = Joined((cassette.inside.length, cassette.inside.width), " × ")
    inputs = (
        stated(practice, "inside", inside, ("cassettes", fit.cassette, "inside"), "mm", cassette=cassette.name),
        Input(name=message("figures.input.rails"), value=cassette.rails),
        Input(name=message("figures.input.gap-between"), value=cassette.gap, unit="mm"),
        *stated_lying(practice, kit.contents),
    )
    smallest = practice.cassettes[fit.smallest].name if fit.smallest else message("figures.none")
    return Figure(
        id=f"fit.{fit.set}",
        name=message("figures.fit.name", set=kit.name),
        value=round(fsum(fit.room_left_mm), 1),
        unit="mm",
        why=message("figures.fit.why", why=fit.why, smallest=smallest),
        inputs=inputs,
        section="fit",
    )
