"""Values with a unit, as people write them: ``8 in``, ``55 min``, ``12%``, ``08:30``.

Each type here is a plain number (or text) with the parser that reads it; what the parser refuses it
refuses with a sentence that shows how to write the value.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from types import MappingProxyType
from typing import Annotated, Any, Literal, TypeVar

from pydantic import AfterValidator, BeforeValidator, Field, WithJsonSchema

ID_PATTERN = r"^[a-z0-9]+(-[a-z0-9]+)*$"
LANGUAGE_PATTERN = r"^[a-z]{2,3}$"

_NUMBER = r"\d+(?:\.\d+)?"
_MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8}
_MINUTES = {"s": 1 / 60, "min": 1.0, "h": 60.0}
_LARGEST_SHIFT = 10.0
_DAYS = {"day": 1.0, "days": 1.0, "week": 7.0, "weeks": 7.0}
_PERIOD = r"([1-9]\d{0,2})\s+(day|week|month|year)s?"


def as_id(text: str) -> str:
    """Return a text made into an id: lower-case words joined by hyphens; '' when nothing is left of it."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:60]


def _amount(value: Any, units: Mapping[str, float], example: str) -> float:
    """Return one or more ``number unit`` pairs, added up."""
    pattern = rf"\s*({_NUMBER})\s*({'|'.join(units)})(?![a-z])"
    if isinstance(value, int | float) and not isinstance(value, bool):
        raise ValueError(f"{value} needs a unit, as in {example}")
    if isinstance(value, str) and value.strip().startswith("-"):
        raise ValueError(f"'{value}' is below zero")
    pairs = re.findall(pattern, value) if isinstance(value, str) else []
    if not pairs or re.sub(pattern, "", value).strip():
        raise ValueError(f"'{value}' must be written as in {example}")
    total = sum(float(number) * units[unit] for number, unit in pairs)
    if not math.isfinite(total) or total > 1e7:
        raise ValueError(f"'{value}' is too large")
    return total


def _matched(pattern: str, value: Any, example: str) -> re.Match[str]:
    match = re.fullmatch(pattern, value) if isinstance(value, str) else None
    if not match:
        raise ValueError(f"'{value}' must be written as in {example}")
    return match


def length(value: Any) -> float:
    """Return a length in millimetres, from ``8 in``, ``203 mm``, ``20 cm``."""
    return round(_amount(value, _MM, "'8 in', '203 mm' or '20 cm'"), 4)


def shift(value: Any) -> float:
    """Return a small correction in millimetres to either side, from ``1 mm``, ``-0.5 mm``."""
    back = isinstance(value, str) and value.strip().startswith("-")
    moved = length(value.strip()[1:] if back else value)
    if moved > _LARGEST_SHIFT:
        raise ValueError(f"'{value}' is more than a printer can be off ({_LARGEST_SHIFT:g} mm); check the measures")
    return -moved if back and moved else moved


def duration(value: Any) -> float:
    """Return a duration in minutes, from ``55 min``, ``90 s``, ``1 h 10 min``."""
    return round(_amount(value, _MINUTES, "'55 min', '90 s' or '1 h 10 min'"), 4)


def days(value: Any) -> float:
    """Return a number of days, from ``10 days`` or ``2 weeks``."""
    return _amount(value, _DAYS, "'10 days' or '2 weeks'")


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
    match = _matched(rf"\s*{_PERIOD}\s*", value, "'1 day', '2 weeks', '6 months' or '3 years'")
    unit: Any = match[2]
    return Period(int(match[1]), unit)


def share(value: Any) -> float:
    """Return a share of visits from 0 to 1, from ``always`` or ``12%``."""
    if value == "always":
        return 1.0
    match = _matched(rf"(-?{_NUMBER})\s*%", value, "'12%' or 'always'")
    percent = float(match[1])
    if not 0 < percent <= 100:
        raise ValueError(f"'{value}' is not a possible share (above 0%, up to 100%)")
    return percent / 100


def clock(value: Any) -> int:
    """Return a time of day in minutes after midnight, from ``08:30``."""
    match = re.fullmatch(r"(\d{1,2}):(\d{2})", value) if isinstance(value, str) else None
    if not match or int(match[1]) > 23 or int(match[2]) > 59:
        raise ValueError(f"'{value}' is not a time of day, such as '08:30' or '17:30'")
    return int(match[1]) * 60 + int(match[2])


def temperature(value: Any) -> float:
    """Return a temperature in degrees Celsius, from ``132 C`` or ``270 F``."""
    match = _matched(rf"({_NUMBER})\s*°?\s*([CF])", value, "'132 C' or '270 F'")
    degrees = float(match[1])
    return degrees if match[2] == "C" else round((degrees - 32) * 5 / 9, 1)


def money(value: Any) -> Decimal:
    """Return an amount of money in the practice's currency, from a plain number."""
    if isinstance(value, bool) or not isinstance(value, int | float | Decimal):
        raise ValueError(f"'{value}' is not a plain number; the currency is given in practice.yaml")
    try:
        amount = Decimal(str(value))
    except InvalidOperation:
        amount = Decimal("NaN")
    if not amount.is_finite() or not 0 <= amount < 10**9:
        raise ValueError(f"'{value}' is not a price (0 or more)")
    return amount


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


def _written(pattern: str, *examples: str) -> WithJsonSchema:
    return WithJsonSchema({"type": "string", "pattern": pattern, "examples": list(examples)})


_LENGTH = rf"^(\s*{_NUMBER}\s*({'|'.join(_MM)}))+\s*$"
_DURATION = rf"^(\s*{_NUMBER}\s*({'|'.join(_MINUTES)}))+\s*$"
_DAY_COUNT = rf"^\s*{_NUMBER}\s*({'|'.join(_DAYS)})\s*$"

Millimetres = Annotated[float, BeforeValidator(length), _written(_LENGTH, "8 in", "203 mm"), Field(gt=0)]
MillimetresOrNone = Annotated[float, BeforeValidator(length), _written(_LENGTH, "70 mm", "0 mm")]
Shift = Annotated[float, BeforeValidator(shift), _written(rf"^-?{_LENGTH[1:]}", "1 mm", "-0.5 mm")]
Minutes = Annotated[float, BeforeValidator(duration), _written(_DURATION, "55 min", "1 h 10 min")]
Days = Annotated[float, BeforeValidator(days), _written(_DAY_COUNT, "10 days", "2 weeks")]
PeriodOfTime = Annotated[Period, BeforeValidator(period), _written(rf"^{_PERIOD}$", "1 week", "3 years")]
Share = Annotated[float, BeforeValidator(share), _written(rf"^(always|{_NUMBER}\s*%)$", "12%", "always")]
Clock = Annotated[int, BeforeValidator(clock), _written(r"^\d{1,2}:\d{2}$", "08:30")]
Celsius = Annotated[float, BeforeValidator(temperature), _written(rf"^{_NUMBER}\s*°?\s*[CF]$", "132 C", "270 F")]
Money = Annotated[Decimal, BeforeValidator(money), WithJsonSchema({"type": "number", "minimum": 0})]
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

T = TypeVar("T")
#: Records by id, in the order in which they were written; cannot be changed.
Table = Annotated[Mapping[Id, T], AfterValidator(MappingProxyType)]
