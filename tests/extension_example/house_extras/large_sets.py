"""A rule between records: this practice wants small sets."""

from collections.abc import Iterator

from kitdocs.practice.draft import Draft
from kitdocs.practice.message import own_words
from kitdocs.practice.problems import Problem
from kitdocs.practice.rules.looking import warning

MOST = 5


def large_sets(practice: Draft) -> Iterator[Problem]:
    """Warn of a set that holds more than a tray of ours."""
    for id_, kit in practice.sets.items():
        if len(kit.contents) > MOST:
            yield warning(
                practice,
                "house.large-sets",
                ("sets", id_, "contents"),
                message=own_words(f"{len(kit.contents)} pieces are more than our trays hold ({MOST})"),
                remedy=own_words("move what few visits need to a pouch"),
            )
