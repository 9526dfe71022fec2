"""Which instrument a name of the trade stands for, however it is written, and how sure that is.

A name is taken for a kind when all words of one of its phrases are there and nothing is left that could mean something
else. Whatever else fits less well is a suggestion, and a person is asked.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from rapidfuzz.distance import OSA

from kitdocs.importing.trade import TradeWords, trade, words_in
from kitdocs.practice.kinds import DrawingKind
from kitdocs.practice.message import Message, message

#: From here on nobody is asked.
CERTAIN = 0.9
#: How sure a name is, by what was found. Our own choice, judged by tests/importing/trade_spellings.tsv.
_WHOLE, _SLIP, _LIKELY, _REST, _TWO, _FAMILY = 1.0, 0.92, 0.7, 0.6, 0.5, 0.4


@dataclass(frozen=True, slots=True, kw_only=True)
class NameMatch:
    """What a name was taken for. Two names with one kind and the same qualifiers are the same instrument."""

    kind: DrawingKind | None
    """None where no instrument fits, or where it is none at all (`is_none`)."""
    qualifiers: tuple[str, ...] = ()
    """What tells it from others of its kind, sorted: ``("curved",)``, ``("5",)``."""
    sure: float = 0.0
    why: Message
    is_none: bool = False
    """Whether it is no instrument: gloves, wire."""

    @property
    def certain(self) -> bool:
        """Whether nobody need be asked."""
        return self.sure >= CERTAIN


@dataclass(frozen=True, slots=True)
class _Fit:
    kind: DrawingKind
    phrase: frozenset[str]
    used: frozenset[str]
    slips: int


@lru_cache(maxsize=4096)
def match_name(text: str, hint: str = "") -> NameMatch:
    """Return what a name stands for. A `hint` is what else is said of it, as in a column of types: ``Cutters``."""
    known = trade()
    words = words_in(text)
    if not words:
        return NameMatch(kind=None, why=message("import.why.nothing"))
    found = _instrument(words, known)
    if not found.certain and hint:
        helped = _instrument((*words, *words_in(hint)), known)
        if helped.certain or helped.sure > found.sure:
            own = frozenset(words)
            found = NameMatch(
                kind=helped.kind,
                qualifiers=tuple(q for q in helped.qualifiers if q in _qualifiers(own, known)),
                sure=helped.sure,
                why=helped.why,
            )
    return found


def _instrument(words: tuple[str, ...], known: TradeWords) -> NameMatch:  # noqa: PLR0911  # one return a case
    given = frozenset(words)
    sure_fits = _best(_fits(given, known.kinds, known))
    none = max((len(phrase) for phrase in known.not_instruments if phrase <= given), default=0)
    if none and (not sure_fits or max(len(fit.phrase) for fit in sure_fits) < none):
        rest = _rest(given, frozenset().union(*(p for p in known.not_instruments if p <= given)), "", known)
        if not given & set(known.families) and not sure_fits:
            sure, why = (_REST, "rest") if rest else (_SLIP, "no-instrument")
            return NameMatch(kind=None, sure=sure, why=message(f"import.why.{why}"), is_none=True)
    if len({fit.kind for fit in sure_fits}) > 1:
        return _said(sure_fits[0], given, known, _TWO, "two")
    if sure_fits:
        fit = sure_fits[0]
        if rest := _rest(given, fit.used, fit.kind, known):
            if len(rest) > max(2, len(fit.used)):  # a sentence, in which an instrument is spoken of
                return NameMatch(kind=None, why=message("import.why.rest"))
            return _said(fit, given, known, _REST, "rest")
        if fit.slips == 0:
            return _said(fit, given, known, _WHOLE, "whole")
        return _said(fit, given, known, _SLIP if fit.slips == 1 else _LIKELY, "slip")
    if likely := _best(_fits(given, known.likely, known)):
        return _said(likely[0], given, known, _LIKELY if len(likely) == 1 else _TWO, "likely")
    families = [known.families[word] for word in words if word in known.families]
    if families:
        fit = _Fit(families[-1], frozenset(), frozenset(known.families), 0)
        return _said(fit, given, known, _FAMILY, "family")
    return NameMatch(kind=None, why=message("import.why.nothing"))


def _said(fit: _Fit, given: frozenset[str], known: TradeWords, sure: float, why: str) -> NameMatch:
    return NameMatch(
        kind=fit.kind,
        qualifiers=tuple(sorted(_qualifiers(given - fit.used, known, fit.kind))),
        sure=sure,
        why=message(f"import.why.{why}"),
    )


def _fits(given: frozenset[str], phrases: Mapping[frozenset[str], DrawingKind], known: TradeWords) -> list[_Fit]:
    """Every phrase that is there, with the words that stand for it."""
    strangers = [word for word in given if word not in known.every and not word[-1].isdigit()]
    fits = []
    for phrase, kind in phrases.items():
        lacking = phrase - given
        slips = {word: slip for word in lacking if (slip := _slip_of(word, strangers))}
        if len(slips) == len(lacking) and len(set(slips.values())) == len(slips) and (phrase & given or slips):
            used = (phrase & given) | frozenset(slips.values())
            distance = sum(OSA.distance(word, slip) for word, slip in slips.items())
            fits.append(_Fit(kind, phrase, used, distance))
    return fits


def _slip_of(word: str, strangers: Iterable[str]) -> str:
    """The unknown word that is most likely a slip of the pen of a known one."""
    if len(word) < 5:
        return ""
    most = 2 if len(word) >= 7 else 1
    near = [(OSA.distance(word, other, score_cutoff=most), other) for other in strangers]
    return min((item for item in near if item[0] <= most), default=(0, ""))[1]


def _best(fits: list[_Fit]) -> list[_Fit]:
    """The fits that no other one contains, most words first; with slips only where none without them says less."""
    exact = [fit for fit in fits if not fit.slips]
    able = [fit for fit in fits if not exact or not fit.slips or any(fit.used > other.used for other in exact)]
    kept = [fit for fit in able if not any(fit.used < other.used for other in able)]
    kept.sort(key=lambda fit: (-len(fit.used), fit.slips, fit.kind))
    if kept and all(fit.kind == kept[0].kind for fit in kept):
        return [_Fit(kept[0].kind, kept[0].phrase, frozenset().union(*(fit.used for fit in kept)), kept[0].slips)]
    return kept


def _rest(given: frozenset[str], used: frozenset[str], kind: str, known: TradeWords) -> frozenset[str]:
    """The words that could mean something else."""
    plain = known.plain | known.plain_of.get(kind, frozenset()) | frozenset(known.families)
    return frozenset(
        word for word in given - used - plain if word not in known.qualifiers and not _is_number(word) and len(word) > 1
    )


def _qualifiers(words: frozenset[str], known: TradeWords, kind: str = "") -> set[str]:
    usual = known.plain_of.get(kind, frozenset())
    named = {known.qualifiers[word] for word in words - usual if word in known.qualifiers}
    return named | {word.lstrip("#") for word in words - usual if _is_number(word)}


def _is_number(word: str) -> bool:
    return any(c.isdigit() for c in word)
