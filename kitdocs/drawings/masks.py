"""The mask of a QR code (ISO/IEC 18004), chosen as `qrcode` chooses it, from all modules at once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache

from qrcode.main import QRCode
from qrcode.util import mask_func

#: Patterns of masking that a code may have.
_MASKS = range(8)

#: After so many modules the pattern of each comes again, along and across.
_PERIOD = 12

#: Dark and light modules that look like a finder pattern, with four light ones before it or behind it.
_LIKE_FINDERS = ("10111010000", "00001011101")


class MaskedCode(QRCode):  # type: ignore[type-arg]
    """A QR code that finds its mask in a fraction of the time: lines of modules are bits of one number."""

    def map_data(self, data: Sequence[int], mask_pattern: int) -> None:
        """Put the data on the modules that nothing else has taken: these are what a mask turns over."""
        self._free = _both_ways([[module is None for module in row] for row in self.modules])
        super().map_data(data, mask_pattern)

    def best_mask_pattern(self) -> int:
        """Return the mask with the fewest penalty points, the first one of several."""
        self.makeImpl(True, 0)
        size, made, first = self.modules_count, _both_ways(self.modules), _turned(0, self.modules_count)

        def points(mask: int) -> int:
            ways = zip(made, self._free, first, _turned(mask, size), strict=True)
            rows, columns = (modules ^ (free & (before ^ turned)) for modules, free, before, turned in ways)
            return _points(rows, columns, size)

        return min(_MASKS, key=points)


@cache
def _turned(mask: int, size: int) -> tuple[int, int]:
    """Return which modules a mask turns over, in both ways; its pattern comes again after twelve modules."""
    turns = mask_func(mask)
    tile = [[turns(row, column) for column in range(_PERIOD)] for row in range(_PERIOD)]
    again = -(-size // _PERIOD)
    return _both_ways([(row * again)[:size] for row in tile * again][:size])


def _both_ways(modules: Sequence[Sequence[bool | None]]) -> tuple[int, int]:
    """Return modules as one number, row after row, and as another, column after column; a dark one is 1."""
    return _number(modules), _number(zip(*modules, strict=True))


def _number(lines: Iterable[Iterable[bool | None]]) -> int:
    return int("".join("1" if module else "0" for line in lines for module in line), 2)


def _points(rows: int, columns: int, size: int) -> int:
    """Return the penalty points of a code."""
    dark = rows.bit_count() / size**2
    lines = sum(_line_points(bits, size) for bits in (rows, columns))
    return lines + 3 * _blocks(rows, size) + 10 * int(abs(100 * dark - 50) / 5)


def _line_points(bits: int, size: int) -> int:
    """Return the points of runs of five and more, and of what looks like a finder pattern, along the lines."""
    same = _same_as_next(bits, size)
    fives = same & same >> 1 & same >> 2 & same >> 3 & same >> 2
    runs = fives & ~(fives << 1)
    finders = sum(_matches(bits, size, pattern).bit_count() for pattern in _LIKE_FINDERS)
    return fives.bit_count() + 2 * runs.bit_count() + 40 * finders


def _blocks(rows: int, size: int) -> int:
    """Return the number of squares of two by two modules of one colour."""
    same = _same_as_next(rows, size)
    below = ~(rows ^ rows >> size) & ((1 << size * (size - 1)) - 1)
    return (same & same >> size & below).bit_count()


def _same_as_next(bits: int, size: int) -> int:
    """Return the modules that are like the next one of their line."""
    return ~(bits ^ bits >> 1) & _begins(size, 2)


def _matches(bits: int, size: int, pattern: str) -> int:
    """Return the modules at which a pattern stands in a line."""
    found = _begins(size, len(pattern))
    for place, module in enumerate(reversed(pattern)):
        found &= bits >> place if module == "1" else ~(bits >> place)
    return found


@cache
def _begins(size: int, length: int) -> int:
    """Return the modules at which so many of one line begin."""
    line = "0" * (length - 1) + "1" * (size - length + 1)
    return int(line * size, 2)
