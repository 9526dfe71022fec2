"""Figures and names of a group in the words of one language."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from kitdocs.document.catalog import MessageCatalog
from kitdocs.group.comparison import MEASURES, Apart, Beside
from kitdocs.group.result import Group
from kitdocs.practice.message import Clock, Joined
from kitdocs.practice.numbers import hours_and_minutes

#: So many practices are named in one cell of a page; the tables name all.
_MOST_NAMED = 8


@dataclass(frozen=True)
class Told:
    """A group and one language."""

    group: Group
    words: MessageCatalog

    @cached_property
    def _titles(self) -> dict[str, str]:
        return {name: s.title.in_language(self.words.language) for name, s in self.group.compared.items()}

    def practice(self, name: str) -> str:
        """Return what a practice is called; its folder, where it could not be read or another is called the same."""
        title = self._titles.get(name, name)
        return f"{title} ({name})" if Counter(self._titles.values())[title] > 1 else title

    def figure(self, measure: str, value: float | None, currency: str = "") -> str:
        """Return a figure as people write it."""
        form = MEASURES[measure].form
        if value is None:
            return "–"
        if form == "money":
            return self.words.money(Decimal(value), currency, places=0)
        if form == "minutes":
            return ("−" if value <= -0.5 else "") + hours_and_minutes(abs(value) * 60)
        if form == "clock":
            return self.words.say(Clock(value))
        if form == "share":
            return self.words.percent(value, 1)
        return self.words.number(value, 0 if form == "count" else 1)

    def name(self, measure: str) -> str:
        return self.words(f"group.measure.{measure}")

    def difference(self, difference: Apart) -> str:
        """Return what differs, as a sentence."""
        here = difference.here
        more = "more" if here.value > here.middle else "less"
        return self.words(
            f"group.differs.{more}",
            figure=self.name(here.measure),
            value=self._beside(here, difference.practice),
            middle=self._middle(here, difference.practice),
        )

    def why(self, difference: Apart) -> str:
        """Return what goes with a difference."""
        if not difference.goes_with:
            return self.words("group.why.nothing")
        parts = tuple(
            self.words(
                f"group.why.{'more' if beside.value > beside.middle else 'less'}",
                figure=self.name(beside.measure),
                value=self._beside(beside, difference.practice),
                middle=self._middle(beside, difference.practice),
            )
            for beside in difference.goes_with
        )
        return self.words("group.why.with", others=Joined(parts))

    def _beside(self, beside: Beside, practice: str) -> str:
        return self.figure(beside.measure, beside.value, self.group.compared[practice].currency)

    def _middle(self, beside: Beside, practice: str) -> str:
        return self.figure(beside.measure, beside.middle, self.group.compared[practice].currency)

    def shares(self, amounts: list[tuple[str, int]]) -> str:
        """Return how many for whom: ``North: 4; South: 2``."""
        each = (Joined((self.practice(name), str(pieces)), ": ") for name, pieces in amounts[:_MOST_NAMED])
        listed = self.words.say(Joined(tuple(each), "; "))
        more = len(amounts) - _MOST_NAMED
        others = self.words.count("group.order.others", more)
        return self.words.say(Joined((listed, others), "; ")) if more > 0 else listed
