"""Numbers, and numbers with a unit, as people write them: ``6 1/2 in``, ``6,5"``, ``1 h 15``, ``8:50 AM``, ``$12.50``.

Each kind of value is read here and nowhere else. A spelling is read when it can mean one thing only. Of any other a
`ValueError` says what it can mean, or shows how the value is written; what to type stands after a semicolon.

A point is always a decimal point. A comma is a decimal comma, unless three digits follow it: then it might part
thousands, and is refused. A number that has both says itself which is which.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, NoReturn

#: Nothing that is meant as a quantity is longer.
_LONGEST = 60
_VULGAR = "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
_DECIMAL = re.compile(r"\d+|\d*[.,]\d+")
_GROUPED = re.compile(r"[1-9]\d{0,2}(?:(?:,\d{3})+\.\d+|(?:\.\d{3})+,\d+|(?:,\d{3}){2,}|(?:\.\d{3}){2,})")
_TWO_MEANINGS = re.compile(r"[1-9]\d{0,2},\d{3}")
_FRACTION = re.compile(rf"(?:(\d+)(?:\s+|-|\s*(?=[{_VULGAR}])))?(?:(\d+)[/⁄](\d+)|([{_VULGAR}]))")
#: What may be a number. `_number` says whether it is one.
_ANY_NUMBER = rf"(?:\d+(?:\s+|-|\s*(?=[{_VULGAR}])))?(?:\d+[/⁄]\d+|[{_VULGAR}])|[\d.,]*\d"
#: Rulers are divided no further.
_FINEST = 64
#: Above this no length or duration in a practice can be.
_MOST = Decimal(10) ** 7


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: how much it is, and how people write it. `names` in small letters, the one that kitdocs writes first."""

    size: Decimal
    names: tuple[str, ...]


def _unit(size: str, names: str) -> Unit:
    return Unit(Decimal(size), tuple(names.split()))


#: In millimetres.
LENGTHS = (
    _unit("1000", "m meter meters metre metres metro metros"),
    _unit("304.8", "ft foot feet pie pies ' ′ ’"),
    _unit("25.4", "in inch inches pulgada pulgadas pulg \" ″ ” '' ′′ ’’"),
    _unit("10", "cm centimeter centimeters centimetre centimetres centímetro centímetros centimetro centimetros"),
    _unit("1", "mm millimeter millimeters millimetre millimetres milímetro milímetros milimetro milimetros"),
)
#: In seconds.
DURATIONS = (
    _unit("3600", "h hr hrs hour hours hora horas"),
    _unit("60", "min mins minute minutes minuto minutos m"),
    _unit("1", "s sec secs second seconds seg segundo segundos"),
)
#: In days.
DAYS = (
    _unit("7", "weeks week wk wks w semana semanas sem"),
    _unit("1", "days day d día días dia dias"),
)
#: Spans of the calendar, which are no fixed number of days.
PERIODS = {
    "day": "day days daily d día días dia dias",
    "week": "week weeks weekly wk wks w semana semanas sem",
    "month": "month months monthly mo mes meses",
    "year": "year years yearly yr yrs año años",
}
_EVERY = {"daily", "weekly", "monthly", "yearly"}
PERCENT = ("%", "percent", "per cent", "pct", "por ciento")

_DOLLARS = "USD ARS AUD BBD BMD BND BSD BZD CAD CLP COP CUP FJD GYD JMD KYD LRD MXN NAD NZD SBD SGD SRD TTD TWD UYU XCD"
#: Signs of money, each with the currencies that it stands for at home (Unicode CLDR).
SIGNS = {
    "$": frozenset(_DOLLARS.split()),
    "US$": frozenset({"USD"}),
    "€": frozenset({"EUR"}),
    "£": frozenset({"GBP", "FKP", "GIP", "SHP", "SSP"}),
    "¥": frozenset({"JPY", "CNY"}),
}


def _as_written(value: Any) -> str:
    """Return a text with one space between its words, whatever kind of space was typed; '' for what is none."""
    text = " ".join(value.split()) if isinstance(value, str) else ""
    return re.sub("^−", "-", text) if len(text) <= _LONGEST else ""


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _must(value: Any, example: str) -> NoReturn:
    raise ValueError(f"'{value}' must be written as in {example}")


def _unclear(value: Any, meanings: Iterable[str]) -> NoReturn:
    said = " or ".join(f"'{meaning}'" for meaning in meanings)
    raise ValueError(f"'{value}' can mean {said}; write the one that you mean")


def _number(text: str) -> Decimal | None:
    """Return a number that is written as one, None for what is none."""
    if match := _FRACTION.fullmatch(text):
        over, under = unicodedata.normalize("NFKC", match[4]).split("⁄") if match[4] else (match[2], match[3])
        is_one = 0 < int(over) < int(under) <= _FINEST
        return Decimal(match[1] or 0) + Decimal(over) / Decimal(under) if is_one else None
    if _DECIMAL.fullmatch(text):
        return Decimal(text.replace(",", "."))
    if _GROUPED.fullmatch(text):
        point = text[max(text.rfind("."), text.rfind(","))]
        whole, _, rest = text.rpartition(point) if "." in text and "," in text else (text, "", "0")
        return Decimal(f"{re.sub('[.,]', '', whole)}.{rest}")
    return None


def _told_apart(value: Any, text: str) -> None:
    """Refuse a number whose comma can be a decimal comma or part thousands."""
    for match in re.finditer(r"[\d.,]*\d", text):
        if _TWO_MEANINGS.fullmatch(match[0]):
            before, after = text[: match.start()], text[match.end() :]
            _unclear(value, (before + match[0].replace(",", sign) + after for sign in ("", ".")))


def number(value: Any) -> Any:
    """Return the number that a text stands for (``2,5``); anything else as it is, for others to judge."""
    text = _as_written(value)
    _told_apart(value, text)
    found = _number(text)
    return value if found is None else float(found)


def amount(value: Any, units: tuple[Unit, ...], example: str, last: str = "") -> Decimal:
    """Return what one or more ``number unit`` pairs come to, the larger unit first.

    A number after the first pair is read only where `last` names its unit: minutes, after hours.
    """
    text = _as_written(value)
    if _is_number(value) or _number(text) is not None:
        raise ValueError(f"{value} needs a unit, as in {example}")
    if text.startswith("-"):
        raise ValueError(f"'{value}' is below zero")
    _told_apart(value, text)
    total = Decimal(0)
    smallest: int | None = None
    for count, name in _pairs(value, _with_last_unit(text, units[0], last), example):
        place = next((n for n, unit in enumerate(units) if name.removesuffix(".") in unit.names), None)
        if place is None or (smallest is not None and place <= smallest):
            _must(value, example)
        total += count * units[place].size
        smallest = place
    if total > _MOST:
        raise ValueError(f"'{value}' is too large")
    return total


def _with_last_unit(text: str, largest: Unit, last: str) -> str:
    """Return ``1 h 15 min`` for ``1 h 15``: a number below 60 after whole hours counts minutes, the unit `last`."""
    bare = re.fullmatch(r"(\d+ ?([^\W\d_]+)\.? ?)[0-5]?\d", text) if last else None
    return f"{text} {last}" if bare and bare[2].lower() in largest.names else text


def _pairs(value: Any, text: str, example: str) -> Iterator[tuple[Decimal, str]]:
    """Yield each number of a text with the unit behind it; raise when something is neither."""
    pair = re.compile(rf"(?:(?<=\s)(?:and|y)\s)?({_ANY_NUMBER})\s?([^\W\d_]+\.?|[\"″”]|['′’]{{1,2}})(?:\s|(?=\d)|$)")
    at = 0
    while at < len(text) or not text:
        match = pair.match(text.lower(), at)
        count = _number(match[1]) if match else None
        if match is None or count is None:
            _must(value, example)
        yield count, match[2]
        at = match.end()


_LENGTH_EXAMPLE = "'8 in', '203 mm' or '20 cm'"
_DURATION_EXAMPLE = "'55 min', '90 s' or '1 h 10 min'"


def length(value: Any) -> float:
    """Return a length in millimetres, from ``8 in``, ``6 1/2"``, ``203 mm``, ``20,3 cm``."""
    return float(round(amount(value, LENGTHS, _LENGTH_EXAMPLE), 4))


def signed_length(value: Any) -> float:
    """Return a length to either side in millimetres, from ``1 mm``, ``-0.5 mm``."""
    text = _as_written(value)
    return -length(text[1:].strip()) + 0.0 if text.startswith("-") else length(value)


def duration(value: Any) -> float:
    """Return a duration in minutes, from ``55 min``, ``90 s``, ``1 h 10 min``, ``1 h 10``, ``PT1H10M``."""
    text = _as_written(value)
    if match := re.fullmatch(r"(\d{1,2}):([0-5]\d)(?::([0-5]\d)|( ?(?:h|hrs?|hours?|horas?)\.?))?", text.lower()):
        hours, minutes, seconds = int(match[1]), int(match[2]), int(match[3] or 0)
        if not match[3] and not match[4]:
            _unclear(value, (_clearly(hours, minutes, ("h", "min")), _clearly(hours, minutes, ("min", "s"))))
        return hours * 60 + minutes + round(seconds / 60, 4)
    if re.fullmatch(r"PT(?=\d)(\d+H)?(\d+M)?(\d+S)?", text):  # ISO 8601-1, as calendars write it
        text = text.removeprefix("PT").lower()
        value = re.sub("[a-z]", lambda unit: unit[0] + " ", text)
    return float(round(amount(value, DURATIONS, _DURATION_EXAMPLE, last="min") / 60, 4))


def _clearly(large: int, small: int, units: tuple[str, str]) -> str:
    parts = [f"{count} {unit}" for count, unit in zip((large, small), units, strict=True) if count]
    return " ".join(parts) or f"0 {units[1]}"


def days(value: Any) -> float:
    """Return a number of days, from ``10 days``, ``2 weeks``, ``2 wk``."""
    return float(amount(value, DAYS, "'10 days' or '2 weeks'"))


def period(value: Any) -> tuple[int, str]:
    """Return how many of which unit of the calendar, from ``2 weeks``, ``6 months``, ``weekly``."""
    match = re.fullmatch(r"(?:([1-9]\d{0,2}) ?)?([^\W\d_]+)\.?", _as_written(value).lower())
    unit = next((unit for unit, names in PERIODS.items() if match and match[2] in names.split()), None)
    if match is None or unit is None or bool(match[1]) == (match[2] in _EVERY):
        _must(value, "'1 day', '2 weeks', '6 months' or '3 years'")
    return int(match[1] or 1), unit


def share(value: Any) -> float:
    """Return a share of visits from 0 to 1, from ``always``, ``12%``, ``12,5 %``, ``0.12``."""
    text = _as_written(str(value) if _is_number(value) else value).lower()
    if text == "always":
        return 1.0
    _told_apart(value, text)
    sign = next((sign for sign in PERCENT if text.endswith(sign)), "")
    found = _number(text.removesuffix(sign).strip().removeprefix("-"))
    if found is None:
        _must(value, "'12%' or 'always'")
    if sign or text.startswith("-") or not found or found > 100:
        if text.startswith("-") or not 0 < found <= 100:
            raise ValueError(f"'{value}' is not a possible share (above 0%, up to 100%)")
        return float(found / 100)
    if found == 1:
        _unclear(value, ("100%", "1%"))
    if found > 1:
        raise ValueError(f"'{value}' has no percent sign; write '{found:f}%'")
    return float(found)


def share_or_none(value: Any) -> float:
    """Return a share as `share` reads it, or 0 from ``never``, ``0%``, ``0``."""
    text = _as_written(str(value) if _is_number(value) else value).lower()
    sign = next((sign for sign in PERCENT if text.endswith(sign)), "")
    return 0.0 if text == "never" or _number(text.removesuffix(sign).strip()) == 0 else share(value)


_HALVES = re.compile(r"(\d{1,2})(?:[:.h] ?(\d{2})(?::00)?)? ?([ap])\.? ?m\.?")
_WHOLE_DAY = re.compile(
    r"t?(\d{1,2}):(\d{2})(?::00)?(?: ?(?:h|hrs?)\.?)?|(\d{1,2}) ?h(?: ?(\d{2}))?\.?|t?(\d{2})(\d{2})"
)


def clock(value: Any) -> int:
    """Return a time of day in minutes after midnight, from ``08:30``, ``8:30 AM``, ``8.30 a. m.``, ``8h30``."""
    text = _as_written(str(value) if _is_number(value) else value).lower()
    if text in ("noon", "12 noon", "12:00 noon"):
        return 12 * 60
    if match := _HALVES.fullmatch(text):
        hour, minute = int(match[1]), int(match[2] or 0)
        if minute <= 59 and 1 <= hour <= 12:
            return (hour % 12 + (12 if match[3] == "p" else 0)) * 60 + minute
        if minute <= 59 and (13 <= hour <= 23 if match[3] == "p" else hour == 0):
            raise ValueError(f"'{value}' is not a time of day; write '{hour:02d}:{minute:02d}'")
    elif match := _WHOLE_DAY.fullmatch(text):
        hour, minute = (int(part) for part in (match[1] or match[3] or match[5], match[2] or match[4] or match[6] or 0))
        if hour <= 23 and minute <= 59:
            return hour * 60 + minute
    elif meanings := _meant_hours(text):
        if len(meanings) > 1:
            _unclear(value, meanings)
        raise ValueError(f"'{value}' is not a time of day; write '{meanings[0]}'")
    raise ValueError(f"'{value}' is not a time of day, such as '08:30' or '17:30'")


def _meant_hours(text: str) -> list[str]:
    """The times that ``8``, ``17``, ``8.5``, ``8,30`` or ``830`` can mean; none for anything else."""
    match = re.fullmatch(r"(\d{1,2})(?:[.,](\d{1,2}))?(?: ?h\.?)?|(\d)(\d{2})", text)
    if not match or int(match[1] or match[3]) > 23 or int(match[4] or 0) > 59:
        return []
    if match[3]:
        return [f"0{match[3]}:{match[4]}"]
    hour, digits = int(match[1]), match[2]
    if digits is None:
        return [f"{hour:02d}:00"] + ([f"{hour + 12}:00"] if 1 <= hour <= 11 else [])
    minutes = dict.fromkeys((int(digits.ljust(2, "0")), round(int(digits) * 60 / 10 ** len(digits))))
    return [f"{hour:02d}:{minute:02d}" for minute in minutes if minute <= 59]


def temperature(value: Any) -> float:
    """Return a temperature in degrees Celsius, from ``132 C``, ``132 °C`` or ``270 F``."""
    example = "'132 C' or '270 F'"
    text = _as_written(value).replace("℃", "°c").replace("℉", "°f").lower()
    if _is_number(value) or _number(text) is not None:
        raise ValueError(f"{value} needs a unit, as in {example}")
    _told_apart(value, text)
    match = re.fullmatch(r"([\d.,]*\d) ?(?:°|º|degrees?|grados?)? ?(c|celsius|f|fahrenheit)", text)
    degrees = _number(match[1]) if match else None
    if match is None or degrees is None:
        _must(value, example)
    return float(degrees if match[2][0] == "c" else round((degrees - 32) * 5 / 9, 1))


def money(value: Any, currency: str | None = None) -> Decimal:
    """Return an amount in the practice's currency, from ``12.50``, ``12,50``, ``$12.50``, ``12,50 €``, ``USD 12``.

    A sign or code of a `currency` other than the practice's is refused; without one, none is.
    """
    price = Decimal(str(value)) if _is_number(value) else _money_text(value, currency)
    if not price.is_finite() or not 0 <= price < 10**9:
        raise ValueError(f"'{value}' is not a price (0 or more)")
    return price


def _money_text(value: Any, currency: str | None) -> Decimal:
    text = _as_written(value)
    signs = "|".join([*map(re.escape, sorted(SIGNS, key=len, reverse=True)), "[A-Z]{3}"])
    match = re.fullmatch(rf"(-?)({signs})? ?(-?)([\d.,]*\d) ?({signs})?", text)
    if not match or (match[2] and match[5]):
        raise ValueError(f"'{value}' is not a plain number; the currency is given in practice.yaml")
    if re.fullmatch(r"[1-9]\d{0,2}[.,]\d{3}", match[4]):  # a price that ends after three digits is rare
        whole, part = re.split("[.,]", match[4])
        _unclear(value, (text.replace(match[4], meaning) for meaning in (whole + part, f"{whole}.{part}0")))
    found = _number(match[4])
    if found is None:
        raise ValueError(f"'{value}' is not a plain number; the currency is given in practice.yaml")
    sign = match[2] or match[5]
    if sign and currency and currency not in SIGNS.get(sign, {sign}):
        raise ValueError(
            f"'{value}' is not in {currency}, the currency of practice.yaml; write every price in {currency}"
        )
    if match[1] or match[3]:
        raise ValueError(f"'{value}' is not a price (0 or more)")
    return found
