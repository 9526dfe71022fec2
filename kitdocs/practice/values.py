"""The types of values in the practice folder: ids, words, and quantities, each with the JSON Schema of its spellings.

Each is a plain number (or text) with the parser that reads it. Quantities are read in `quantities`; what a parser
refuses it refuses with a sentence that shows how to write the value.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType
from typing import Annotated, Any, Literal, TypeVar, cast

from pydantic import AfterValidator, BeforeValidator, Field, StrictFloat, ValidationInfo, WithJsonSchema

from kitdocs.practice import quantities
from kitdocs.practice.spellings import (
    CLOCKS,
    DAY_COUNTS,
    DURATIONS,
    LENGTHS,
    NUMBERS,
    PERIODS,
    PRICES,
    SHARES,
    SHARES_OR_NONE,
    SHIFTS,
    TEMPERATURES,
)

ID_PATTERN = r"^[a-z0-9]+(-[a-z0-9]+)*$"
LANGUAGE_PATTERN = r"^[a-z]{2,3}$"

#: In the context of a validation, the currency of the practice.
CURRENCY = "currency"
_LARGEST_SHIFT = 10.0


def as_id(text: str) -> str:
    """Return a text made into an id: lower-case words joined by hyphens; '' when nothing is left of it."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:60].rstrip("-")


def shift(value: Any) -> float:
    """Return a small correction in millimetres to either side, from ``1 mm``, ``-0.5 mm``."""
    moved = quantities.signed_length(value)
    if abs(moved) > _LARGEST_SHIFT:
        raise ValueError(f"'{value}' is more than a printer can be off ({_LARGEST_SHIFT:g} mm); check the measures")
    return moved


@dataclass(frozen=True, slots=True)
class Period:
    """A span of the calendar as people write it: ``2 weeks``, ``3 years``."""

    number: int
    unit: Literal["day", "week", "month", "year"]

    def __str__(self) -> str:
        return f"{self.number} {self.unit}{'' if self.number == 1 else 's'}"


def period(value: Any) -> Period:
    """Return a `Period`, from ``1 day``, ``2 weeks``, ``6 months`` or ``3 years``."""
    if isinstance(value, Period):
        return value
    number, unit = quantities.period(value)
    return Period(number, cast(Literal["day", "week", "month", "year"], unit))


def money(value: Any, info: ValidationInfo) -> Decimal:
    """Return an amount in the practice's currency, which the context of a validation names, if it is known there."""
    return quantities.money(value, (info.context or {}).get(CURRENCY))


def clock_text(minutes: float) -> str:
    """Return minutes after midnight as people read them: ``13:05``; past midnight ``01:05 next day``."""
    days_on, rest = divmod(round(minutes), 24 * 60)
    return f"{rest // 60:02d}:{rest % 60:02d}" + (" next day" if days_on == 1 else f" +{days_on} d" if days_on else "")


def share_text(share: float) -> str:
    """Return a share as people write it: ``12%``, ``12.5%``; never rounded to another share."""
    return f"{100 * share:g}%"


@dataclass(frozen=True, slots=True)
class Text:
    """A name or sentence as the practice wrote it: once for every language, or once per language."""

    plain: str = ""
    by_language: tuple[tuple[str, str], ...] = ()

    def in_language(self, language: str) -> str:
        """Return the words in `language`; the first language written when that one is missing."""
        words = dict(self.by_language)
        return self.plain or words.get(language) or next(iter(words.values()), "")

    def lacks(self, language: str) -> bool:
        """Whether the text is written per language but not in this one."""
        return not self.plain and language not in dict(self.by_language)

    def __str__(self) -> str:
        return self.plain or next(iter(dict(self.by_language).values()), "")


def text(value: Any) -> Text:
    """Return a `Text` from a string or from a mapping ``{en: ..., es: ...}``."""
    if isinstance(value, Text):
        return value
    if isinstance(value, str) and value.strip():
        return Text(plain=" ".join(value.split()))
    if isinstance(value, Mapping) and value:
        for language, words in value.items():
            if not re.fullmatch(LANGUAGE_PATTERN, str(language)):
                raise ValueError(f"'{language}' is not a language code as in 'en' or 'es'")
            if not isinstance(words, str) or not words.strip():
                raise ValueError(f"the words for '{language}' are missing")
        return Text(by_language=tuple((str(k), " ".join(v.split())) for k, v in value.items()))
    raise ValueError("words are missing: write a name, or one per language as in {en: Scissors, es: Tijeras}")


Millimetres = Annotated[float, BeforeValidator(quantities.length), WithJsonSchema(LENGTHS.schema), Field(gt=0)]
MillimetresOrNone = Annotated[float, BeforeValidator(quantities.length), WithJsonSchema(LENGTHS.schema)]
Shift = Annotated[float, BeforeValidator(shift), WithJsonSchema(SHIFTS.schema)]
Minutes = Annotated[float, BeforeValidator(quantities.duration), WithJsonSchema(DURATIONS.schema)]
Days = Annotated[float, BeforeValidator(quantities.days), WithJsonSchema(DAY_COUNTS.schema)]
PeriodOfTime = Annotated[Period, BeforeValidator(period), WithJsonSchema(PERIODS.schema)]
Share = Annotated[float, BeforeValidator(quantities.share), WithJsonSchema(SHARES.schema)]
ShareOrNone = Annotated[float, BeforeValidator(quantities.share_or_none), WithJsonSchema(SHARES_OR_NONE.schema)]
Clock = Annotated[int, BeforeValidator(quantities.clock), WithJsonSchema(CLOCKS.schema)]
Celsius = Annotated[float, BeforeValidator(quantities.temperature), WithJsonSchema(TEMPERATURES.schema)]
Money = Annotated[Decimal, BeforeValidator(money), WithJsonSchema(PRICES.schema)]
Number = Annotated[StrictFloat, BeforeValidator(quantities.number), WithJsonSchema(NUMBERS.schema)]
PlainText = Annotated[
    Text,
    BeforeValidator(text),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "string", "minLength": 1, "examples": ["Your own words"]},
                {
                    "type": "object",
                    "minProperties": 1,
                    "propertyNames": {"pattern": LANGUAGE_PATTERN},
                    "additionalProperties": {"type": "string", "minLength": 1},
                },
            ]
        }
    ),
]
Id = Annotated[str, Field(pattern=ID_PATTERN, max_length=60)]

#: A word for the kind of place, which may be left out; a code or an id; the position on a shelf.
PLACE_PATTERN = r"^((shelf|drawer|hook) +)?[A-Za-z0-9]+(-[a-z0-9]+)*( +[0-9]{1,2})?$"


def place_name(value: Any) -> str:
    """Return the name of a place of the store as it is written: ``B2``, ``shelf B2``, ``drawer D1``, ``upper 2``."""
    written = " ".join(value.split()) if isinstance(value, str) else value
    if not isinstance(written, str) or not re.fullmatch(PLACE_PATTERN, written):
        raise ValueError(f"'{value}' is no place; write its code, as in B2 or D1")
    return written


PlaceName = Annotated[
    str,
    BeforeValidator(place_name),
    WithJsonSchema({"type": "string", "pattern": PLACE_PATTERN, "examples": ["B2", "drawer D1"]}),
]

T = TypeVar("T")
#: Records by id, in the order in which they were written; cannot be changed.
Table = Annotated[Mapping[Id, T], AfterValidator(MappingProxyType)]
