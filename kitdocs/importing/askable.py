"""Which words of a column may be shown to a person, so that they can say what these mean.

Columns of types mix what is done with who comes (“Adj - Smith”). A text is shown only when it is one of few that come
again and again; else the part of it that does, at one place of the text. A value that was seen once is never shown, nor
one that is written as a name is; their rows are told instead. One with a word that may be a surname (“Adj - Smith”) is
shown only when it comes more often than one person does. What is known already is recognised without being shown.

The limits are ours; tests/importing tries them on columns that are made to fool them.
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from kitdocs.importing.people import is_name
from kitdocs.importing.vocabulary import TRADE, folded, other_words, words_of

#: No practice has more types of visits, or chairs.
_MOST = 60
#: Nor more people at its chairs.
_MOST_STAFF = 20
#: Of the rows, no more have a value of their own; so many where at least half speak of the trade.
_FEW, _SOME = 0.25, 0.6
#: How often a value comes at least before it is shown; one that consists of words of the trade alone, twice.
_OFTEN = 3
#: And how often, at least and of all rows, where one of its words may be a surname: no patient comes as often.
_OFTENER, _SHARE = 6, 0.03
#: What tells one kind of visit from another, beside the words of the trade.
_MODIFIERS = frozenset(
    {"long", "short", "poking", "spacer", "spacers", "attachment", "attachments", "growth", "transfer", "opinion"}
    | {"hold", "same", "day", "week", "weeks", "month", "months", "left", "right", "both", "largo", "larga", "corto"}
    | {"corta", "registros", "alta", "suelto", "molestia", "molestias", "dia", "semana", "semanas", "mes", "meses"}
    | {"izquierda", "derecha"}
    | set(other_words("modifiers"))
)
_VOWELS = frozenset("aeiouy")
_BETWEEN = re.compile(r"\s+[-–—:/]+\s+|\s*[|;,()\[\]:]\s*|\s*[-–—]\s+|\n")

_BESIDE_COMMAS = re.compile(r"\s+[-–—:/]+\s+|[|;()\[\]]")

#: A text made comparable: its words, folded.
Phrase = tuple[str, ...]


@lru_cache(maxsize=4096)
def phrase(text: str) -> Phrase:
    """Return the words of a text by which it is compared with what is known: ``("adj", "l")`` of `ADJ-L`."""
    return tuple(re.findall(r"[^\W_]+", folded(text)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """One cell of such a column."""

    row: int
    text: str
    day: Hashable = None
    """Where values must come on two days to be shown."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Askable:
    """What a column comes to. `labels`: for each row what it says, where that may be shown or is known."""

    labels: Mapping[int, Phrase]
    asked: Mapping[Phrase, str] = field(default_factory=dict)
    """What a person is to say the meaning of, as it is written most often; those that come most often first."""
    hidden: tuple[int, ...] = ()
    """The rows with anything else. Never their text."""
    written: Mapping[Phrase, str] = field(default_factory=dict)
    """Of the labels, how each is written most often."""


#: Whether a text is another way of writing one of those that are shown.
IsVariant = Callable[[Phrase, Sequence[Phrase]], object]


def askable(
    column: Sequence[Said],
    known: Callable[[Phrase], bool],
    *,
    headed: bool = False,
    staff: bool = False,
    variant: IsVariant | None = None,
) -> Askable:
    """Return what may be shown of a column.

    `headed`: its heading says that it holds types of visits; without, what it says must speak of the trade to be shown.
    `staff`: it holds chairs or staff, whose names are no patients'. A `variant` of what is shown says no more than that
    does: of a column that says types alone, it is shown though it came once.
    """
    said = [each for each in column if phrase(each.text)]
    for part in (_whole,) if staff else (_whole, _part(0), _part(-1), _word(0), _word(-1)):
        labels = {each.row: part(each.text) for each in said}
        whole = part is _whole
        mixed = whole and not staff and _crossed(labels.values())
        if not mixed and _few(list(labels.values()), known, headed=whole and headed, staff=staff, whole=whole):
            return _shown(said, labels, known, staff, variant if whole else None)
    return _recognised(said, known)


def _whole(text: str) -> str:
    return text


def _part(at: int) -> Callable[[str], str]:
    def take(text: str) -> str:
        parts = [part for part in _BETWEEN.split(text) if phrase(part)]
        return parts[at] if len(parts) > 1 else ""

    return take


def _word(at: int) -> Callable[[str], str]:
    def take(text: str) -> str:
        words = text.split()
        return words[at] if len(words) > 1 else ""

    return take


def _few(labels: Sequence[str], known: Callable[[Phrase], bool], *, headed: bool, staff: bool, whole: bool) -> bool:
    """Whether the labels are few that come again and again, and enough of them speak of the trade."""
    found = Counter(label for label in labels if phrase(label))
    distinct, count = len({phrase(label) for label in found}), found.total()
    names = len({phrase(label) for label in found if is_name(label)})
    if count < 0.8 * len(labels) or not count or distinct > _MOST or (staff and names > _MOST_STAFF):
        return False
    speak = sum(n for label, n in found.items() if known(phrase(label)) or _speaks(label, codes=headed)) / count
    enough = staff or speak >= (0.2 if headed else 0.5)
    return distinct <= (_SOME if whole and speak >= 0.5 else _FEW) * count and enough


def _speaks(label: str, *, codes: bool) -> bool:
    """Whether a label has a word of the trade; with `codes`, a figure or three capitals will do."""
    if not TRADE.isdisjoint(words_of(label)):
        return True
    return codes and bool(re.search(r"\d|\b[A-Z]{2,3}\b", label))


def _crossed(labels: Iterable[str]) -> bool:
    """Whether the labels are types and names crossed: as many words as there are types, each beside several of them.

    “Adj - Smith”, “Adj - Jones”, “Bond - Smith”, “Bond - Jones”: of few patients, these come again and again, too.
    """
    beside: defaultdict[str, set[Phrase]] = defaultdict(set)
    for words in {phrase(label) for label in labels}:
        names = [word for word in words if word.isalpha() and len(word) > 1 and word not in TRADE]
        rest = tuple(word for word in words if word not in names)
        for word in names:
            beside[word].add(rest)
    crossed = [rest for rest in beside.values() if len(rest) > 1]
    return len(crossed) >= max(4, len(set().union(*crossed)) if crossed else 0)


def _shown(
    said: Sequence[Said],
    labels: Mapping[int, str],
    known: Callable[[Phrase], bool],
    staff: bool,
    variant: IsVariant | None,
) -> Askable:
    written: defaultdict[Phrase, Counter[str]] = defaultdict(Counter)
    days: defaultdict[Phrase, set[Hashable]] = defaultdict(set)
    for each in said:
        label = " ".join(labels[each.row].split())
        written[phrase(label)][label] += 1
        days[phrase(label)].add(each.day)
    at_least = min(2, len({each.day for each in said}))
    oftener = max(_OFTENER, _SHARE * len(said))
    cased = any(text[:1].isupper() for each in said for text in each.text.split())

    def may_be_shown(label: Phrase) -> bool:
        usual = written[label].most_common(1)[0][0]
        often = 2.0 if label and TRADE.issuperset(words_of(usual)) else _OFTEN
        if not staff and any(_may_be_surname(word, cased) for word in usual.split()):
            often = oftener
        again = written[label].total() >= often and len(days[label]) >= at_least
        return bool(label) and again and (staff or not _has_name(usual))

    found: dict[int, Phrase] = {}
    hidden: list[int] = []
    for each in said:
        told = phrase(labels[each.row])
        if known(told) or may_be_shown(told):
            found[each.row] = told
        elif inner := _known_part(each.text, known):
            found[each.row] = inner
        else:
            hidden.append(each.row)
    shown = list(dict.fromkeys(found.values()))
    rare = {row: phrase(labels[row]) for row in hidden}
    found |= {row: told for row, told in rare.items() if variant and told and variant(told, shown)}
    hidden = [row for row in hidden if row not in found]
    counts = Counter(label for label in found.values() if not known(label))
    by_count = sorted(counts, key=lambda label: (-counts[label], label))
    return Askable(
        labels=found,
        asked={label: written[label].most_common(1)[0][0] for label in by_count},
        hidden=tuple(hidden),
        written={label: written[label].most_common(1)[0][0] for label in {*found.values()} if label in written},
    )


def _may_be_surname(word: str, cased: bool) -> bool:
    """Whether a word may be who comes: none of the trade, and with a capital where the column has any."""
    parts = [part for part in re.findall(r"[^\W\d_]+", word) if len(part) > 1 and _VOWELS & {*folded(part)}]
    unknown = [part for part in parts if not (TRADE | _MODIFIERS).issuperset(words_of(part))]
    return any(part[0].isupper() or not cased for part in unknown)


def _has_name(text: str) -> bool:
    """Whether a text, or a part of it, is written as a name is: `Adj - Ana Quill`, of an event that repeats."""
    return any(is_name(part.strip()) for part in (text, *_BETWEEN.split(text), *_BESIDE_COMMAS.split(text)))


def _known_part(text: str, known: Callable[[Phrase], bool]) -> Phrase | None:
    """What is known among the parts of a text; None where no part is, or two different ones are."""
    found = _known_parts(text, known)
    return found.pop() if len(found) == 1 else None


def _known_parts(text: str, known: Callable[[Phrase], bool]) -> set[Phrase]:
    parts = {phrase(part) for part in _BETWEEN.split(text)}
    return {part for part in parts if part and known(part)}


def _recognised(said: Sequence[Said], known: Callable[[Phrase], bool]) -> Askable:
    """Only what is known already: a part of the text, or the longest run of words at its beginning or end."""
    labels: dict[int, Phrase] = {}
    for each in said:
        found = _known_parts(each.text, known) or _known_runs(phrase(each.text), known)
        if len(found) == 1:
            labels[each.row] = found.pop()
    return Askable(labels=labels, hidden=tuple(each.row for each in said if each.row not in labels))


def _known_runs(words: Phrase, known: Callable[[Phrase], bool]) -> set[Phrase]:
    for n in range(len(words), 0, -1):
        if found := set(filter(known, (words[:n], words[-n:]))):
            return found
    return set()
