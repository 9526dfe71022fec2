"""Headings of columns, as offices write them in several languages; and the row of a sheet that holds them.

>>> LENGTH = Vocabulary({"length": ["length", "largo"]})
>>> LENGTH.meant("Largo (mm)")
ColumnHeading(field='length', unit='mm', sure=1.0)
"""

from __future__ import annotations

import difflib
import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from rapidfuzz import fuzz, process

from kitdocs.importing.found import NOTHING
from kitdocs.importing.grids import Grid, GridCell
from kitdocs.importing.vocabulary import folded, of_one_meaning

#: Titles, dates and blank lines may stand above the headings.
_ABOVE = 40
#: A heading with a slip in it, by the share of letters that agree. Our own choice, held by tests/importing.
_NEAR = 0.86
#: How sure a heading is that may mean something else (`No.`: how many, or a running number).
_WEAK = 0.7
_SHORTEST_GUESSED = 5
_UNIT = re.compile(
    r"[(\[{]\s*([^()\[\]{}]*?)\s*[)\]}]\s*$|(?:\s|_)(mm|cm|in|inch(?:es)?|pulg(?:adas)?|min(?:utes)?)\.?$"
)


@lru_cache(maxsize=4096)
def plain_words(text: str) -> str:
    """Return a text in small letters without accents and signs, one blank between its words: ``largo mm``."""
    return " ".join(re.sub(r"[^a-z0-9#%$€£]+", " ", folded(text)).split())


@dataclass(frozen=True, slots=True)
class ColumnHeading:
    """What a heading means: the field, the unit that it states, and how sure that is, from 0 to 1."""

    field: str
    unit: str
    sure: float


class Vocabulary:
    """Fields of a kind of list with their usual headings; a `weak` one yields to another of the same field.

    `others`: headings of further languages. A word that two languages use for different fields, as `nombre`, is the
    first's unless the sheet's other headings are of the other; one that only further languages have, and use
    differently, is nobody's.
    """

    def __init__(
        self,
        fields: Mapping[str, Iterable[str]],
        weak: Iterable[str] = (),
        others: Mapping[str, Mapping[str, Iterable[str]]] | None = None,
    ) -> None:
        self._weak = frozenset(map(plain_words, weak))
        first = _fields_by_word(fields)
        by_language = {language: _fields_by_word(each) for language, each in (others or {}).items()}
        self._field_of = {**of_one_meaning(pair for each in by_language.values() for pair in each.items()), **first}
        #: What a word means only where the sheet is of that language: it is another field, or nobody's, elsewhere.
        self._only_in = {
            language: {word: field for word, field in each.items() if self._field_of.get(word) != field}
            for language, each in by_language.items()
        }
        use = Counter(word for each in (first, *by_language.values()) for word in each)
        self._telling = {language: {word for word in each if use[word] == 1} for language, each in by_language.items()}
        self._first = {word for word in first if use[word] == 1}
        self._looked_up = lru_cache(maxsize=4096)(self._look_up)  # every row near the top is tried as headings

    def meant(self, text: str, language: str = "") -> ColumnHeading | None:
        """Return what a heading means, None when it is none of the usual ones or near one.

        `language`: that of the sheet, as `language_of` has it.
        """
        plain = plain_words(text)
        if language and (field := self._only_in[language].get(plain)):
            return ColumnHeading(field, "", _WEAK if plain in self._weak else 1.0)
        return self._looked_up(text)

    def language_of(self, texts: Iterable[str]) -> str:
        """Return the language that headings tell, beside English and Spanish; '' where none does, or several."""
        plain = {plain_words(text) for text in texts}
        telling = {language: len(plain & words) for language, words in self._telling.items()}
        most = max(telling.values(), default=0)
        first = [language for language, count in telling.items() if count == most]
        return first[0] if most > len(plain & self._first) and len(first) == 1 else ""

    def _look_up(self, text: str) -> ColumnHeading | None:
        unit = ""
        plain = plain_words(text)
        if plain not in self._field_of and (match := _UNIT.search(text.strip())):
            unit = (match[1] or match[2] or "").strip()
            plain = plain_words(text.strip()[: match.start()])
        if found := self._field_of.get(plain) or self._of_two(plain):
            return ColumnHeading(found, unit, _WEAK if plain in self._weak else 1.0)
        if self._may_be_near(plain) and (near := difflib.get_close_matches(plain, self._field_of, n=1, cutoff=_NEAR)):
            return ColumnHeading(self._field_of[near[0]], unit, difflib.SequenceMatcher(None, plain, near[0]).ratio())
        return None

    def _may_be_near(self, plain: str) -> bool:
        """Whether any heading is near: a quick look that misses none, as no run of letters in turn is left out."""
        if len(plain) < _SHORTEST_GUESSED:
            return False
        return process.extractOne(plain, self._field_of.keys(), scorer=fuzz.ratio, score_cutoff=100 * _NEAR) is not None

    def _of_two(self, plain: str) -> str:
        """The field of a heading that says it twice: ``qty on hand``."""
        words = plain.split()
        for n in range(1, len(words)):
            first, second = (self._field_of.get(" ".join(part)) for part in (words[:n], words[n:]))
            if first and first == second:
                return first
        return ""


def _fields_by_word(fields: Mapping[str, Iterable[str]]) -> dict[str, str]:
    return {plain_words(word): name for name, words in fields.items() for word in words}


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadRow:
    """The headings of a sheet. Rows and columns count from 1."""

    last: int
    """The last row of headings; what follows are the lines."""
    columns: Mapping[str, int]
    """The column of each field; of two columns for one field, the first."""
    units: Mapping[str, str]
    """The unit that a heading states, by field."""
    headings: Mapping[int, str]
    """Every heading by column, joined where it takes two rows."""
    again: tuple[int, ...] = ()
    """Columns for a field that an earlier column has."""
    first: int = 1

    def lines(self, grid: Grid) -> Iterable[tuple[GridCell, ...]]:
        """Yield the rows below the headings that have anything in them; repeated headings are left out."""
        heads = [cell.value for cell in grid.rows[self.last - 1]]
        for row in grid.rows[self.last :]:
            values = [cell.value for cell in row]
            if any(value is not None for value in values) and values != heads:
                yield row


@dataclass(slots=True)
class _Reading:
    fields: dict[str, int] = field(default_factory=dict)
    units: dict[str, str] = field(default_factory=dict)
    sure: dict[str, float] = field(default_factory=dict)
    again: list[int] = field(default_factory=list)
    worth: float = 0.0


def head_of(grid: Grid, vocabulary: Vocabulary, settled: Mapping[str, str] | None = None) -> HeadRow | None:
    """Return the row, or the two rows, with the most headings of a vocabulary; None when no row has two.

    In a sheet of one column, one is enough.
    `settled` is what people said a heading means, by its plain words (`plain_words`); '-' for a column to leave out.
    """
    best: tuple[float, HeadRow] | None = None
    least = min(2, len({cell.column for row in grid.rows for cell in row if cell.value is not None}))
    for at in range(min(len(grid.rows), _ABOVE)):
        for rows in (grid.rows[at : at + 1], grid.rows[at : at + 2]):
            if len(rows) == 2 and not _could_be_headings(rows[1]):
                continue
            texts = _texts(rows)
            read = _read(texts, vocabulary, settled or {})
            worth = read.worth - 0.1 * len(rows)
            if len(read.fields) >= least and (best is None or worth > best[0]):
                first, last = at + 1, at + len(rows)
                best = (
                    worth,
                    HeadRow(
                        first=first,
                        last=last,
                        columns=read.fields,
                        units=read.units,
                        headings={column: spelled[0] for column, spelled in texts.items()},
                        again=tuple(read.again),
                    ),
                )
    return best[1] if best else None


def _could_be_headings(row: tuple[GridCell, ...]) -> bool:
    filled = [cell for cell in row if cell.value is not None]
    return bool(filled) and all(isinstance(cell.value, str) and not re.search(r"\d", cell.value) for cell in filled)


def _texts(rows: tuple[tuple[GridCell, ...], ...]) -> dict[int, tuple[str, ...]]:
    """How the heading of each column can be read, the whole first: of two rows, the upper reaches to the right."""
    if len(rows) == 1:
        return {cell.column: (cell.text,) for cell in rows[0] if cell.text}
    over = ""
    texts: dict[int, tuple[str, ...]] = {}
    for upper, lower in zip(*rows, strict=True):
        over = upper.text or over
        if lower.text:
            texts[upper.column] = (f"{over} {lower.text}".strip(), lower.text)
        elif upper.text:
            texts[upper.column] = (upper.text,)
    return texts


def _read(texts: Mapping[int, tuple[str, ...]], vocabulary: Vocabulary, settled: Mapping[str, str]) -> _Reading:
    read = _Reading()
    language = vocabulary.language_of(text for spelled in texts.values() for text in spelled)
    for column, spelled in texts.items():
        said = settled.get(plain_words(spelled[0]))
        meant = [ColumnHeading(said, "", 1.0)] if said else [vocabulary.meant(text, language) for text in spelled]
        found = next(filter(None, meant), None)
        if found is None or found.field == NOTHING:
            continue
        if found.sure <= read.sure.get(found.field, 0.0):
            read.again.append(column)
            continue
        if found.field in read.fields:
            read.again.append(read.fields[found.field])
        read.worth += found.sure - read.sure.get(found.field, 0.0)
        read.fields[found.field], read.sure[found.field] = column, found.sure
        if found.unit:
            read.units.setdefault(found.field, found.unit)
    return read
