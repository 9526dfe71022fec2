"""Numbers, money and times as each language writes them: ``1,234.5``, ``1.234,5``, ``1 234,5``.

The signs between figures, how many stand together and where the currency stands are those of Unicode CLDR, as babel
carries them. Figures are always 0 to 9. What is read from a folder is not written so: `quantities` reads it.
"""

from __future__ import annotations

from decimal import Decimal
from functools import cache

from babel import Locale
from babel.numbers import format_decimal

#: Spanish as Latin America writes it, in which our words are: 1,234.5. In Spain it is 1.234,5.
_WRITTEN_AS = {"es": "es_MX"}
#: The typeface of the sheets has the wide no-break space only.
_SIGNS = str.maketrans({"-": "−", "\u202f": "\u00a0"})


def plain(language: str, number: float, places: int = 1) -> str:
    """Return a number without needless decimals: ``46``, ``7.3``, ``1,234``."""
    return _written(language, number, places, "#")


def fixed(language: str, number: float | Decimal, places: int = 1) -> str:
    """Return a number with always so many decimals: ``7.0``."""
    return _written(language, number, places, "0")


def percent(language: str, share: float, places: int = 0) -> str:
    """Return a share as a percentage: ``95 %``."""
    return f"{plain(language, 100 * share, places)} %"


def money(language: str, amount: Decimal, currency: str = "", places: int = 2) -> str:
    """Return ``USD 1,234.50`` or ``1.234,50 EUR``; without the currency where the column's head names it."""
    parts = (currency, fixed(language, amount, places))
    return " ".join(filter(None, parts if _currency_first(language) else reversed(parts)))


def hours_and_minutes(seconds: float) -> str:
    """Return a duration as people say it, alike in every language: ``2 h 53 min``, ``25 min``, ``1 h``."""
    hours, minutes = divmod(round(seconds / 60), 60)
    if hours and minutes:
        return f"{hours} h {minutes} min"
    return f"{hours} h" if hours else f"{minutes} min"


def _written(language: str, number: float | Decimal, places: int, digit: str) -> str:
    rounded = Decimal(f"{number:.{places}f}") + 0  # never -0
    locale = _locale(language)
    pattern = _whole(language) + ("." + digit * places if places else "")
    return format_decimal(rounded, pattern, locale, numbering_system="latn").translate(_SIGNS)


@cache
def _locale(language: str) -> Locale:
    return Locale.parse(_WRITTEN_AS.get(language, language))


@cache
def _whole(language: str) -> str:
    """The pattern of a number without decimals: ``#,##0``."""
    return str(_locale(language).decimal_formats[None].pattern).split(".", maxsplit=1)[0]


@cache
def _currency_first(language: str) -> bool:
    pattern = str(_locale(language).currency_formats["standard"].pattern)
    return pattern.index("¤") < pattern.index("0")
