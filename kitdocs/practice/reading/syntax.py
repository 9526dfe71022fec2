"""Syntax errors of YAML, reported for a person who has never heard of YAML."""

from __future__ import annotations

import re

import yaml

from kitdocs.practice.problems import Problem
from kitdocs.practice.reading.text_file import TextFile

#: What the parser complains of, by what that most often means (``yaml`` in ``words/errors.yaml``).
_SLIPS = {
    "colon": r"mapping values are not allowed",
    "tab": r"character '\\t'|tab character",
    "no-colon": r"could not find expected ':'",
    "quote": r"end of stream|document separator",
    "bracket": r"expected ',' or '\]'",
    "brace": r"expected ',' or '\}'",
    "uneven": r"expected <block end>|expected '?<document start>|expected key|sequence entries are not allowed",
    "no-value": r"expected (the )?node content",
    "backslash": r"unknown escape character",
    "first-letter": r"cannot start any token|expected alphabetic or numeric",
}
#: A blank and a # directly before a letter or number: a comment to YAML, and most often part of a name.
CUT_OFF = re.compile(r"\s+#(?:\w[^#]*|\s*\d+\s*$)")

#: Pointed at where the broken thing begins, not at where the parser gave up.
_AT_START = {"no-colon", "quote", "bracket", "brace"}


def syntax_problem(source: TextFile, error: yaml.MarkedYAMLError, start: int = 0) -> Problem:
    """Return a problem for what a parser says of the file from line `start` on, counted from 0."""
    complaint = str(error.problem)
    slip = next((slip for slip, said in _SLIPS.items() if re.search(said, complaint)), "other")
    mark = (error.context_mark if slip in _AT_START else None) or error.problem_mark or error.context_mark
    place = source.place(start + mark.line + 1, mark.column + 1) if mark else source.place(1)
    if slip == "colon" and _indented_too_far(source, place.line):
        indent = len(place.text) - len(place.text.lstrip())
        slip, place = "uneven", source.place(place.line, indent + 1)
    cut = slip in ("bracket", "brace") and CUT_OFF.search(place.text)
    return source.problem(f"yaml.{slip}", place, remedy="cut-off" if cut else "remedy", complaint=complaint)


def _indented_too_far(source: TextFile, line: int) -> bool:
    """Whether a line is indented further than a line above it that is already complete."""
    here = source.lines[line - 1]
    above = next((text for text in reversed(source.lines[: line - 1]) if text.strip()), "")
    complete = bool(above) and not above.rstrip().endswith((":", "-"))
    return complete and len(here) - len(here.lstrip()) > len(above) - len(above.lstrip())
