"""Message: a sentence as data, its key in the words files and the values to fill in.

What works figures out gives its reasons as messages, and says none of them. A value keeps its type until it is said:
a `Share` is a share, a `Text` is whatever the practice wrote, in each of its languages.

>>> str(counted("figures.n-pieces", 2))
'2 pieces'
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import TypeAlias

from kitdocs.practice.isolates import set_apart
from kitdocs.practice.numbers import fixed, hours_and_minutes, money, percent, plain
from kitdocs.practice.sentences import plural_form, shipped_sentences, sign_between
from kitdocs.practice.values import Text, clock_text
from kitdocs.practice.values import text as as_text


@dataclass(frozen=True, slots=True)
class Fixed:
    """A number with always so many decimals: ``7.0``; a difference with its sign: ``+7.0``."""

    number: float
    places: int = 1
    signed: bool = False


@dataclass(frozen=True, slots=True)
class Share:
    """A share from 0 to 1, said as a percentage."""

    share: float
    places: int = 2


@dataclass(frozen=True, slots=True)
class Duration:
    """A time span in seconds, said in hours and minutes."""

    seconds: float


@dataclass(frozen=True, slots=True)
class Clock:
    """A time of day in minutes after midnight; past 24 hours, on a later day."""

    minutes: float

    def __str__(self) -> str:
        return clock_text(self.minutes)


@dataclass(frozen=True, slots=True)
class Joined:
    """Values in a row, with the sign `by` between them; without one, as a sentence lists them: ``a, b and c``."""

    parts: tuple[Value, ...]
    by: str = ""

    def __str__(self) -> str:
        return said(self, shipped_sentences("en"), "en")


@dataclass(frozen=True, slots=True)
class Message:
    """One sentence. `count` chooses its plural form and fills ``{n}``."""

    key: str
    values: tuple[tuple[str, Value], ...] = ()
    count: float | None = None

    def __str__(self) -> str:
        return said(self, shipped_sentences("en"), "en")


Value: TypeAlias = "str | int | float | Decimal | Text | Fixed | Share | Duration | Clock | Joined | Message"


def message(key: str, /, **values: Value) -> Message:
    """Return the message of that key."""
    return Message(key, tuple(values.items()))


def counted(key: str, n: float, /, **values: Value) -> Message:
    """Return the message of that key in the plural form for `n`: ``{n} pouch``, ``{n} pouches``."""
    return Message(key, tuple(values.items()), n)


def own_words(words: str | Mapping[str, str]) -> Message:
    """Return a message that says the words of another package: the same in every language, or one text a language."""
    return message("problems.own-words", words=as_text(words))


def said(value: Value, sentences: Mapping[str, str], language: str) -> str:
    """Return a value, most often a message, in words. Raises `KeyError` for an unknown key or a missing placeholder."""

    def say(part: Value) -> str:
        return said(part, sentences, language)

    match value:
        case str(text):
            pass
        case Message(key, values, n):
            filled = {name: set_apart(say(part), language) for name, part in values}
            if n is None:
                text = sentences[key].format(**filled)
            else:
                form = f"{key}.{plural_form(language, n)}"
                text = sentences.get(form) or sentences[f"{key}.other"]
                text = text.format(**{"n": say(n), **filled})
        case Text():
            text = value.in_language(language)
        case Decimal():
            text = money(language, value)
        case int() | float():
            text = plain(language, value, 4)
        case Fixed(number, places, signed):
            text = ("+" if signed and number >= 0 else "") + fixed(language, number, places)
        case Share(share, places):
            text = percent(language, share, places)
        case Duration(seconds):
            text = hours_and_minutes(seconds)
        case Clock(minutes):
            days, rest = divmod(round(minutes), 24 * 60)
            text = f"{rest // 60:02d}:{rest % 60:02d}"
            text = say(counted("figures.days-on", days, time=text)) if days else text
        case Joined(parts, by):
            *most, last = [say(part) for part in parts] or [""]
            listed = f"{', '.join(most)} {sentences['card.and']} {last}" if most else last
            text = sign_between(by, language).join([*most, last]) if by else listed
    return text
