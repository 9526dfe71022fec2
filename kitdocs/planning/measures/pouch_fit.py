"""Whether a pouch's instruments go into its size of sterilization pouch.

From DIN 58953-7, as quoted in the DGSV guideline for the validation of packaging processes (2011), annex
A.6: at least 30 mm stay between the item and the closing seal, and at most 75 % of the pouch is filled. That
a flat pouch loses length and width by the item's thickness, since it bulges round it, is our geometry.
Instruments lie side by side, hinged ones open. Pouch sizes are stated inside the seals.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import fsum

from kitdocs.planning.figure import Figure, stated, stated_lying
from kitdocs.practice.message import Joined, Message, Share, message
from kitdocs.practice.model import Instrument, Practice
from kitdocs.practice.problems import Problem
from kitdocs.practice.room import PouchSize
from kitdocs.practice.rules.looking import error, warning

#: mm from the item to the closing seal, and the most of the area that is filled. DIN 58953-7, as above.
TO_THE_SEAL_MM = 30.0
MOST_FILLED = 0.75

#: The thickness taken for an instrument, unless it is narrower: through a joint. Common practice, no source.
THICKNESS_MM = 8.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PouchFit:
    """How a pouch's instruments fit its size."""

    pouch: str
    size: str
    length_needed_mm: float
    width_needed_mm: float
    filled: float
    """The share of the pouch's area that the instruments cover."""
    goes_in: bool
    """Whether the instruments, laid side by side, go in at all, seal and fill aside."""
    fits: bool
    smallest: str | None
    """The smallest stocked size that fits."""
    why: Message


def fit_pouch(practice: Practice, pouch_id: str) -> PouchFit:
    """Return how a pouch of the practice fits its size."""
    pouch = practice.pouches[pouch_id]
    sizes = practice.room.pouch_sizes
    size = sizes[pouch.size]
    contents = pouch.contents
    length, width = length_needed(practice, contents), width_needed(practice, contents)
    return PouchFit(
        pouch=pouch_id,
        size=pouch.size,
        length_needed_mm=length,
        width_needed_mm=width,
        filled=filled(practice, contents, size),
        goes_in=length - TO_THE_SEAL_MM <= size.length and width <= size.width,
        fits=fits(practice, contents, size),
        smallest=smallest_size(practice, contents, sizes),
        why=_why(practice, contents, size),
    )


def smallest_size(practice: Practice, contents: Sequence[str], sizes: Mapping[str, PouchSize]) -> str | None:
    """Return which of the sizes has the least area of those that hold the instruments; None when none does."""
    by_area = sorted(sizes, key=lambda s: sizes[s].length * sizes[s].width)
    return next((s for s in by_area if fits(practice, contents, sizes[s])), None)


def thickness(instrument: Instrument) -> float:
    """Return the thickness in mm that is taken for an instrument; the folder does not state one."""
    return min(instrument.width, THICKNESS_MM)


def length_needed(practice: Practice, contents: Sequence[str]) -> float:
    """Return the usable length in mm: longest item, thickest item, and the way to the seal."""
    return _longest(practice, contents) + _thickest(practice, contents) + TO_THE_SEAL_MM


def width_needed(practice: Practice, contents: Sequence[str]) -> float:
    """Return the usable width in mm of a pouch for instruments side by side."""
    return _widths(practice, contents) + _thickest(practice, contents)


def filled(practice: Practice, contents: Sequence[str], size: PouchSize) -> float:
    """Return the share of the pouch's area under the instruments' outlines."""
    covered = fsum(practice.instruments[i].length * practice.lying_width(i) for i in contents)
    return covered / (size.length * size.width)


def fits(practice: Practice, contents: Sequence[str], size: PouchSize) -> bool:
    """Whether length, width and filling are all kept."""
    return (
        length_needed(practice, contents) <= size.length
        and width_needed(practice, contents) <= size.width
        and filled(practice, contents, size) <= MOST_FILLED
    )


def pouch_problems(practice: Practice) -> tuple[Problem, ...]:
    """Report instruments that do not go in (errors), and those too near the seal or too tight (warnings)."""
    return tuple(_problem(practice, fit) for fit in (fit_pouch(practice, p) for p in practice.pouches) if not fit.fits)


def pouch_figures(practice: Practice) -> tuple[Figure, ...]:
    """Return how full each pouch is."""
    return tuple(_figure(practice, fit_pouch(practice, p)) for p in practice.pouches)


def _longest(practice: Practice, contents: Sequence[str]) -> float:
    return max(practice.instruments[i].length for i in contents)


def _thickest(practice: Practice, contents: Sequence[str]) -> float:
    return max(thickness(practice.instruments[i]) for i in contents)


def _widths(practice: Practice, contents: Sequence[str]) -> float:
    return fsum(practice.lying_width(i) for i in contents)


def _why(practice: Practice, contents: Sequence[str], size: PouchSize) -> Message:
    longest, thickest = _longest(practice, contents), _thickest(practice, contents)
    widths = _widths(practice, contents)
    opened = widths > fsum(practice.instruments[i].width for i in contents)
    return message(
        "figures.pouch.needs-open" if opened else "figures.pouch.needs",
        longest=longest,
        thickest=thickest,
        seal=TO_THE_SEAL_MM,
        length=length_needed(practice, contents),
        size_length=size.length,
        widths=widths,
        width=width_needed(practice, contents),
        size_width=size.width,
        filled=Share(filled(practice, contents, size), 1),
        most=Share(MOST_FILLED),
    )


def _problem(practice: Practice, fit: PouchFit) -> Problem:
    if fit.smallest:
        remedy = message("figures.warning.pouch-too-full.smallest", size=fit.smallest)
    else:
        remedy = message("figures.warning.pouch-too-full.none", width=fit.width_needed_mm, length=fit.length_needed_mm)
    path = ("pouches", fit.pouch, "size")
    if fit.goes_in:
        return warning(practice, "figures.warning.pouch-too-full", path, remedy=remedy, size=fit.size, why=fit.why)
    return error(practice, "pouch-too-small", path, size=fit.size, why=fit.why, larger=remedy)


def _figure(practice: Practice, fit: PouchFit) -> Figure:
    sizes = practice.room.pouch_sizes
    size = sizes[fit.size]
    area = Joined((size.width, size.length), " × ")
    smallest = sizes[fit.smallest].name if fit.smallest else message("figures.none")
    return Figure(
        id=f"pouch.{fit.pouch}",
        name=message("figures.pouch.name", pouch=practice.pouches[fit.pouch].name),
        value=round(100 * fit.filled),
        unit="%",
        why=message("figures.pouch.why", why=fit.why, smallest=smallest),
        inputs=(
            stated(practice, "pouch-size", area, ("room", "pouch_sizes", fit.size), "mm", size=size.name),
            *stated_lying(practice, practice.pouches[fit.pouch].contents),
        ),
        section="wrap",
    )
