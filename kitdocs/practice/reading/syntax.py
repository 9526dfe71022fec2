"""Syntax errors of YAML, reported for a person who has never heard of YAML."""

from __future__ import annotations

import re
from typing import NamedTuple

import yaml

from kitdocs.practice.problems import Problem
from kitdocs.practice.reading.text_file import TextFile


class _Slip(NamedTuple):
    """A complaint of the parser (a pattern), and what it most often means."""

    complaint: str
    message: str
    remedy: str
    at_start: bool = False
    """Point at where the broken thing begins, not at where the parser gave up."""


_UNEVEN = _Slip(
    r"expected <block end>|expected '?<document start>|expected key|sequence entries are not allowed",
    "this line does not line up with the lines above it",
    "lines that belong together begin in the same column; a list's lines all begin with '- '",
)

_SLIPS = (
    _Slip(
        r"mapping values are not allowed",
        "a colon is not allowed here",
        "a text with a colon in it needs quotes, as in name: 'Chair: left'; or is the line above not finished?",
    ),
    _Slip(
        r"character '\\t'|tab character",
        "there is a tab here",
        "indent with spaces, two for each step; tabs are not allowed",
    ),
    _Slip(
        r"could not find expected ':'",
        "a colon is missing on this line",
        "each line is 'key: value', or begins with '- ' in a list",
        at_start=True,
    ),
    _Slip(
        r"end of stream|document separator",
        "a quote is opened here and never closed",
        "write the same quote at the end of the text",
        at_start=True,
    ),
    _Slip(
        r"expected ',' or '\]'",
        "the bracket '[' that opens here is not closed, or a comma is missing after it",
        "a list is written [one, two, three]",
        at_start=True,
    ),
    _Slip(
        r"expected ',' or '\}'",
        "the brace '{' that opens here is not closed, or a comma is missing after it",
        "a group is written {width: 6 in, height: 4 in}",
        at_start=True,
    ),
    _UNEVEN,
    _Slip(
        r"expected (the )?node content",
        "a value is missing here",
        "is there a comma too many, or a bracket that is not closed?",
    ),
    _Slip(
        r"unknown escape character",
        "a backslash inside double quotes has a meaning of its own",
        "use single quotes around this text",
    ),
    _Slip(
        r"cannot start any token|expected alphabetic or numeric",
        "text cannot begin with this character",
        "put the text in quotes",
    ),
)


def syntax_problem(source: TextFile, error: yaml.MarkedYAMLError, start: int = 0) -> Problem:
    """Return a problem for what a parser says of the file from line `start` on, counted from 0."""
    complaint = str(error.problem)
    slip = next((slip for slip in _SLIPS if re.search(slip.complaint, complaint)), None)
    at_start = slip is not None and slip.at_start
    mark = (error.context_mark if at_start else None) or error.problem_mark or error.context_mark
    place = source.place(start + mark.line + 1, mark.column + 1) if mark else source.place(1)
    if slip is _SLIPS[0] and _indented_too_far(source, place.line):
        indent = len(place.text) - len(place.text.lstrip())
        return source.problem("yaml", source.place(place.line, indent + 1), _UNEVEN.message, _UNEVEN.remedy)
    if slip is None:
        return source.problem(
            "yaml", place, f"cannot be read from here on: {complaint}", "compare with the lines above"
        )
    return source.problem("yaml", place, slip.message, slip.remedy)


def _indented_too_far(source: TextFile, line: int) -> bool:
    """Whether a line is indented further than a line above it that is already complete."""
    here = source.lines[line - 1]
    above = next((text for text in reversed(source.lines[: line - 1]) if text.strip()), "")
    complete = bool(above) and not above.rstrip().endswith((":", "-"))
    return complete and len(here) - len(here.lstrip()) > len(above) - len(above.lstrip())
