"""A rule of the work, where it comes from, and the trigger it belongs to.

The sentence of a rule stands in ``site_templates/words/<language>/rules.yaml`` under the rule's id, and nowhere else.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, TypeAlias

from kitdocs.practice.model import Practice

Topic: TypeAlias = Literal[
    "chair", "receiving", "packing", "sterilizing", "testing", "storing", "always", "mishaps", "records"
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """A passage that asks for a rule. `document` is a key of `DOCUMENTS`.

    `how`: *read* in a copy of the document, *quoted* in another public document, or recalled from *memory*.
    """

    document: str
    passage: str
    how: Literal["read", "quoted", "memory"]


def always(practice: Practice) -> bool:
    """Hold in every practice."""
    return True


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One sentence that people work by. Without `sources` it is common practice, no source.

    `applies` tells whether a practice needs it at all: a rule for vacuum sterilizers, for a date on the label.
    """

    id: str
    topic: Topic
    sources: tuple[Source, ...] = ()
    applies: Callable[[Practice], bool] = always


@dataclass(frozen=True, slots=True, kw_only=True)
class Trigger:
    """Something that went wrong, and what is done, step by step; a step is one or more rules.

    Every card that mentions the trigger begins with the first step.
    """

    id: str
    steps: tuple[tuple[str, ...], ...]
    applies: Callable[[Practice], bool] = always

    @property
    def first(self) -> str:
        """Return the rule that everybody follows first."""
        return self.steps[0][0]
