"""The sheet of labels: all of them on the paper, none on another, each with room for what a label must say."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.practice.draft import Draft
from kitdocs.practice.paper import PAPER_MM, Labels
from kitdocs.practice.problems import Problem
from kitdocs.practice.rules.looking import Values, error, whole

#: The smallest label that holds a code, a name and the lines to be written on, tried out. Ours, no source.
SMALLEST_MM = (60.0, 25.0)

#: What measures are rounded by: inches written with three decimals.
_SLACK_MM = 0.1


def labels_can_be_printed(practice: Draft) -> Iterator[Problem]:
    """The sheet of labels is one that exists and that can be written on."""
    labels, paper = practice.settings.labels, practice.settings.paper
    if labels and whole(practice, "practice", "labels"):
        yield from _room_for_words(practice, labels)
        yield from _overlaps(practice, labels)
        if paper:
            yield from _off_the_paper(practice, labels, paper)


def _off_the_paper(practice: Draft, labels: Labels, paper: str) -> Iterator[Problem]:
    """The grid, moved by its offset, ends within the sheet on every side."""
    for key, extent, end, look in (
        ("columns", _extent(labels, 0), PAPER_MM[paper][0], "left, width, across"),
        ("rows", _extent(labels, 1), PAPER_MM[paper][1], "top, height, down"),
    ):
        if extent[0] < -_SLACK_MM or extent[1] > end + _SLACK_MM:
            reach: Values = {"grid": key, "extent": extent, "paper": paper, "end": end, "look": look}
            yield error(practice, "labels-off-paper", ("practice", "labels", key), **reach)


def _overlaps(practice: Draft, labels: Labels) -> Iterator[Problem]:
    """From one label to the next is no less than a label."""
    for key, pitch, size, side in (
        ("across", labels.across, labels.width, "width"),
        ("down", labels.down, labels.height, "height"),
    ):
        if pitch is not None and pitch < size - _SLACK_MM:
            path = ("practice", "labels", key)
            yield error(practice, "labels-overlap", path, field=key, step=pitch, side=side, size=size)


def _room_for_words(practice: Draft, labels: Labels) -> Iterator[Problem]:
    """A label is large enough to be written on."""
    for key, size, least in (("width", labels.width, SMALLEST_MM[0]), ("height", labels.height, SMALLEST_MM[1])):
        if size < least:
            yield error(practice, "labels-small", ("practice", "labels", key), size=size, smallest=SMALLEST_MM)


def _extent(labels: Labels, side: int) -> tuple[float, float]:
    """Where the grid begins and ends, across (0) or down (1), in mm from the edge of the sheet."""
    count, size, margin, offset = (
        (labels.columns, labels.width, labels.left, labels.offset.right),
        (labels.rows, labels.height, labels.top, labels.offset.down),
    )[side]
    return margin + offset, margin + offset + (count - 1) * labels.pitch_mm[side] + size
