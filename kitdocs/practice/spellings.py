"""Which spellings of a quantity an editor lets pass, as JSON Schema: made from the tables by which they are read."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from kitdocs.practice import quantities

_FRACTIONS = "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
_NUMBER = rf"(?:\d+[ -]?)?(?:\d+[/⁄]\d+|[{_FRACTIONS}])|[\d.,]*\d"


@dataclass(frozen=True, slots=True)
class Spellings:
    """The spellings of one kind of value: what is said of them, examples (the usual one first), and their schema."""

    about: str
    examples: tuple[Any, ...]
    forms: tuple[dict[str, Any], ...]

    @property
    def schema(self) -> dict[str, Any]:
        """Return the JSON Schema of such a value."""
        shape = self.forms[0] if len(self.forms) == 1 else {"anyOf": list(self.forms)}
        return {"description": self.about, "examples": list(self.examples), **shape}


def _any_case(words: Iterable[str]) -> str:
    """Return a pattern for any of these words, in small or capital letters or both, without a flag."""
    known = list(dict.fromkeys(words))
    shorter = [
        f"{word}s?" if f"{word}s" in known else word for word in known if word[:-1] not in known or word[-1] != "s"
    ]
    each = (
        re.escape(word).replace(r"s\?", "s?").replace(r"\ ", " ") for word in sorted(shorter, key=len, reverse=True)
    )
    return "|".join(re.sub(r"[^\W\d_]", lambda letter: f"[{letter[0]}{letter[0].upper()}]", word) for word in each)


def _text(pattern: str) -> dict[str, Any]:
    return {"type": "string", "pattern": rf"^\s*(?:{pattern})\s*$"}


def _pairs(units: Sequence[quantities.Unit], last: str = "") -> str:
    names = _any_case(name for unit in units for name in unit.names)
    return rf"(?:(?:[aA][nN][dD] |[yY] )?(?:{_NUMBER})\s*(?:{names})\.?\s*)+{last}"


_LENGTH = _pairs(quantities.LENGTHS)
_DURATION = _pairs(quantities.DURATIONS, last=r"(?:[0-5]?\d)?")
_PERIOD_NAMES = [name for names in quantities.PERIODS.values() for name in names.split()]
_SIGN = "|".join([*map(re.escape, quantities.SIGNS), "[A-Z]{3}"])

LENGTHS = Spellings(
    "A length with its unit: mm, cm, m, in or ft.",
    ("8 in", "203 mm", '6.5"', "6 1/2 in", "6½ in", "6,5 in", "6.5 inches", "16,5 cm"),
    (_text(_LENGTH),),
)
SHIFTS = Spellings(
    "A small length to either side, with its unit.", ("1 mm", "-0.5 mm", "1/32 in"), (_text(rf"[-−]?\s*{_LENGTH}"),)
)
DURATIONS = Spellings(
    "A duration with its unit: s, min or h.",
    ("55 min", "90 s", "1 h 10 min", "1 h 10", "1,5 h", "45 minutes"),
    (_text(rf"{_DURATION}|\d+:[0-5]\d(?::[0-5]\d|\s*[hH].*)|PT(?:\d+[HMS])+"),),
)
DAY_COUNTS = Spellings(
    "A number of days or weeks.", ("10 days", "2 weeks", "1 day", "2 wk"), (_text(_pairs(quantities.DAYS)),)
)
PERIODS = Spellings(
    "A span of the calendar, in days, weeks, months or years.",
    ("1 week", "3 years", "weekly", "6 months"),
    (_text(rf"(?:[1-9]\d{{0,2}}\s*)?(?:{_any_case(_PERIOD_NAMES)})\.?"),),
)
SHARES = Spellings(
    "A share: a percentage, `always`, or a number between 0 and 1.",
    ("12%", "always", "12.5 %", "12,5%", 0.12),
    (
        _text(
            rf"[aA][lL][wW][aA][yY][sS]|(?:{_NUMBER})\s*(?:{_any_case(quantities.PERCENT)})"
            rf"|0*[.,]\d+|(?:0+[ -]?)?(?:\d+[/⁄]\d+|[{_FRACTIONS}])"
        ),
        {"type": "number", "exclusiveMinimum": 0, "exclusiveMaximum": 1},
    ),
)
SHARES_OR_NONE = Spellings(
    "A share as anywhere, or `0%` or `never` for none.",
    ("12%", "0%", "never", 0.12),
    (*SHARES.forms, _text(r"[nN][eE][vV][eE][rR]|0+[.,]?|[.,]0+"), {"type": "number", "const": 0}),
)
CLOCKS = Spellings(
    "A time of day.",
    ("08:30", "17:30", "8:30 AM", "5.30 pm", "8h30", "8:30 h"),
    (
        _text(
            r"[tT]?\d{1,2}:\d{2}(?::00)?\s*(?:[hH][rR]?[sS]?\.?)?|\d{1,2}\s*[hH]\s*(?:\d{2})?\.?|[tT]?\d{4}"
            r"|\d{1,2}(?:[:.hH]\s*\d{2}(?::00)?)?\s*[aApP]\.?\s*[mM]\.?|(?:12(?::00)? )?[nN][oO][oO][nN]"
        ),
        {"type": "integer", "minimum": 1000, "maximum": 2359},
    ),
)
TEMPERATURES = Spellings(
    "A temperature with its unit: C or F.",
    ("132 C", "270 F", "132 °C", "132,5 °C"),
    (_text(r"[\d.,]*\d\s*(?:°|º|[dD][eE][gG][rR][eE][eE][sS]?|[gG][rR][aA][dD][oO][sS]?)?\s*(?:[cCfF℃℉].*)"),),
)
PRICES = Spellings(
    "A price in the currency of practice.yaml.",
    (12.5, "12,50", "$12.50", "12,50 €", "USD 12.50"),
    ({"type": "number", "minimum": 0}, _text(rf"(?:{_SIGN})?\s*[\d.,]*\d\s*(?:{_SIGN})?")),
)
NUMBERS = Spellings("A number.", (16, 2.5, "2,5"), ({"type": "number", "minimum": 0}, _text(_NUMBER)))
