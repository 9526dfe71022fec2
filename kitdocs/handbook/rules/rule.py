"""A rule of the work, where it comes from, and the trigger it belongs to.

The sentence of a rule stands in ``site_templates/words/<language>/rules.yaml`` under the rule's id, and nowhere else.
Only facts were taken from the documents, never sentences.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Literal, TypeAlias

from kitdocs.practice.model import Practice

Topic: TypeAlias = Literal[
    "chair", "receiving", "packing", "sterilizing", "testing", "storing", "always", "mishaps", "records"
]

#: What triggers are grouped by, as somebody looks for one: who is hurt, or what is wrong.
Group: TypeAlias = Literal["people", "pack", "load", "piece", "wash"]


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

    Every card that mentions the trigger begins with the first step, and says at least the first `least` steps: nobody
    may read to the end of a card and not learn that a load is to be held. `also` are the rules that hold beside the
    steps: what never to do, who decides, what is written where; `done` is the one that says when nothing is left to do.
    """

    id: str
    group: Group = "people"
    steps: tuple[tuple[str, ...], ...]
    also: tuple[str, ...] = ()
    done: str = ""
    least: int = 1
    applies: Callable[[Practice], bool] = always

    def with_steps(self, *steps: tuple[str, ...]) -> Trigger:
        """Return the trigger with other steps."""
        return replace(self, steps=steps)

    @property
    def first(self) -> str:
        """Return the rule that everybody follows first."""
        return self.steps[0][0]


#: Short name and full title. Titles stay in the language of the document.
DOCUMENTS: Mapping[str, str] = MappingProxyType(
    {
        "CDC 2003": "Centers for Disease Control and Prevention (CDC), Guidelines for Infection Control in Dental "
        "Health-Care Settings 2003, MMWR 52(RR-17)",
        "CDC 2008": "Rutala, Weber and HICPAC, Guideline for Disinfection and Sterilization in Healthcare Facilities, "
        "2008 (updated 2019)",
        "CDC 2016": "CDC, Summary of Infection Prevention Practices in Dental Settings, October 2016, and its page "
        "Packaging and Storage",
        "CDC sterilization": "CDC, Best Practices for Sterilization in Dental Settings",
        "CDC monitoring": "CDC, Best Practices for Sterilization Monitoring in Dental Settings",
        "CDC training": "CDC, Infection Prevention and Control in Dental Settings, Education and Training",
        "29 CFR 1910.1030": "United States, Occupational Safety and Health Administration, Bloodborne pathogens",
        "29 CFR 1910.1200": "United States, Occupational Safety and Health Administration, Hazard communication",
        "ANSI/AAMI ST79": "Association for the Advancement of Medical Instrumentation, Comprehensive guide to steam "
        "sterilization and sterility assurance in health care facilities",
        "DIN 58953-7": "DIN 58953-7, Sterilization, Sterile supply, use of sterilization paper, nonwoven and pouches",
        "EN 868-5": "EN 868-5:2009, Packaging for terminally sterilized medical devices, sealable pouches and reels",
        "MIL-STD-889B": "United States, MIL-STD-889B, Dissimilar metals",
    }
)


def read(document: str, passage: str) -> Source:
    """Cite a passage that we read in a copy of the document."""
    return Source(document=document, passage=passage, how="read")


def quoted(document: str, passage: str) -> Source:
    """Cite a passage that we read in another public document that quotes it."""
    return Source(document=document, passage=passage, how="quoted")


def recalled(document: str, passage: str) -> Source:
    """Cite a passage from memory; look it up before you rely on it."""
    return Source(document=document, passage=passage, how="memory")
