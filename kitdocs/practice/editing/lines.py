"""The lines of a text: where they begin and end, and which comments belong to what stands on them."""

from __future__ import annotations

import re
from bisect import bisect_right
from dataclasses import dataclass, field

from kitdocs.practice.editing.nodes import BREAK

_COMMENT = re.compile(r"[ \t]*#")


@dataclass(slots=True)
class TextLines:
    """A text by lines. Every place is a number of characters from its start."""

    text: str
    eol: str = "\n"
    starts: list[int] = field(default_factory=list)

    def __post_init__(self) -> None:
        breaks = list(BREAK.finditer(self.text))
        self.starts = [0, *(found.end() for found in breaks)]
        if breaks:
            self.eol = breaks[0][0]

    @property
    def ends_whole(self) -> bool:
        """Whether the last line is ended."""
        return self.starts[-1] == len(self.text)

    def number(self, place: int) -> int:
        """The number of the line of a place, from 0."""
        return bisect_right(self.starts, place) - 1

    def start(self, place: int) -> int:
        """Where the line of a place begins."""
        return self.starts[self.number(place)]

    def after(self, place: int) -> int:
        """Where the line after that of a place begins; the end of the text after the last."""
        number = self.number(place)
        return self.starts[number + 1] if number + 1 < len(self.starts) else len(self.text)

    def column(self, place: int) -> int:
        """How many characters stand before a place on its line."""
        return place - self.start(place)

    def line(self, number: int) -> str:
        """A line without its end."""
        end = self.starts[number + 1] if number + 1 < len(self.starts) else len(self.text)
        return BREAK.sub("", self.text[self.starts[number] : end])

    def begins_line(self, place: int) -> bool:
        """Whether nothing but blanks stands before a place."""
        return not self.text[self.start(place) : place].strip()

    def dash(self, place: int) -> int:
        """Where the dash of a list's item stands, which begins at a place."""
        before = self.text[:place].rstrip()
        return len(before) - 1 if before.endswith("-") else place

    def indent_below(self, start: int, end: int) -> int:
        """How far the lines of a folded text are indented: as they were, or a step more than its key."""
        first = self.number(start)
        for number in range(first + 1, self.number(end) + 1):
            if line := self.line(number).strip():
                return len(self.line(number)) - len(self.line(number).lstrip()) if line else 0
        return len(self.line(first)) - len(self.line(first).lstrip()) + 2

    def own(self, start: int, end: int, column: int, *, spacing: bool = True) -> tuple[int, int]:
        """The whole lines of an entry, with the comments directly above it, beside it and, further in, below it.

        With `spacing`, an empty line of two goes, too, so that the others stay as far apart as they were.
        """
        first, last = self.number(start), self.number(max(start, end))
        last = self._with_comments_below(last, column)
        above = first
        while above and self._is_comment(above - 1) and self._indent(above - 1) == column:
            above -= 1
        if above == 0 and first:  # comments at the head of a file are about the file
            above = first
        begin, stop = self.starts[above], self._begin(last + 1)
        if not spacing:
            return begin, stop
        is_last = not self.text[stop:].strip()
        if above and not self.line(above - 1).strip():
            if is_last:
                while above and not self.line(above - 1).strip():
                    above -= 1
                return self.starts[above], stop
            while last + 1 < len(self.starts) and not self.line(last + 1).strip():
                last += 1
            stop = self._begin(last + 1)
        return begin, stop

    def _with_comments_below(self, last: int, column: int) -> int:
        number = last + 1
        while number < len(self.starts):
            if self._is_comment(number) and self._indent(number) > column:
                last = number
            elif self.line(number).strip():
                break
            number += 1
        return last

    def is_empty_above(self, place: int) -> bool:
        """Whether the line above that of a place is empty."""
        number = self.number(place)
        return bool(number) and not self.line(number - 1).strip()

    def comments_in(self, start: int, end: int) -> list[str]:
        """The comments between two places, without what stands before them."""
        found = (re.search(r"(?:^|\s)(#.*)$", line) for line in BREAK.split(self.text[start:end]))
        return [match[1].strip() for match in found if match]

    def _begin(self, number: int) -> int:
        return self.starts[number] if number < len(self.starts) else len(self.text)

    def _is_comment(self, number: int) -> bool:
        return bool(_COMMENT.match(self.line(number)))

    def _indent(self, number: int) -> int:
        line = self.line(number)
        return len(line) - len(line.lstrip())
