"""Parts of a folder that are still the starter's example, and not the practice's own."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.practice.draft import Draft
from kitdocs.practice.message import message
from kitdocs.practice.problems import Problem
from kitdocs.practice.rules.looking import warning


def every_part_is_stated(practice: Draft) -> Iterator[Problem]:
    """What was never stated is an example's: figures from it are not those of the practice."""
    if practice.is_whole("practice", "from_starter"):
        for n, part in enumerate(practice.settings.from_starter or ()):
            what = message(f"problems.from-starter.{part}")
            yield warning(practice, "problems.from-starter", ("practice", "from_starter", n), what=what, part=part)
