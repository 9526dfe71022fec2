"""Everything that a group comes to: each practice, how they compare, what they can do for each other."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from kitdocs.group.comparison import Apart, differences, middles
from kitdocs.group.moving import Exchange, exchange
from kitdocs.group.summary import Summary
from kitdocs.group.work import WorkedOn
from kitdocs.shipped import shipped_languages


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """A group of practices. `practices` are all of them, `compared` those that could be planned, both by name."""

    title: str
    practices: Mapping[str, WorkedOn]
    compared: Mapping[str, Summary]
    middle: Mapping[str, float]
    differences: tuple[Apart, ...]
    exchange: Exchange
    with_handbooks: bool

    @property
    def languages(self) -> tuple[str, ...]:
        """The languages of the practices that kitdocs has words for, in their order; English where there is none."""
        spoken = dict.fromkeys(language for summary in self.compared.values() for language in summary.languages)
        known = shipped_languages()
        return tuple(language for language in spoken if language in known) or ("en",)

    @property
    def currencies(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(summary.currency for summary in self.compared.values()))

    @property
    def is_good(self) -> bool:
        return all(worked.is_good for worked in self.practices.values())


def group_of(title: str, worked: Iterable[WorkedOn], *, with_handbooks: bool) -> Group:
    """Return what the practices come to, whatever the order in which they were worked on."""
    practices = {each.name: each for each in sorted(worked, key=lambda each: each.name)}
    compared = {name: each.summary for name, each in practices.items() if each.summary}
    return Group(
        title=title,
        practices=practices,
        compared=compared,
        middle=middles(compared),
        differences=differences(compared),
        exchange=exchange(compared),
        with_handbooks=with_handbooks,
    )
