"""Differences between two blocks of one kind, field by field as the kind declares them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import zip_longest
from typing import Any, get_args

from kitdocs.document.blocks import Band, FormGrid, Items, Listing, Matrix, Picture, Prose, ProsePart, Steps, kind_of
from kitdocs.document.content import as_read
from kitdocs.document.purpose import Field, Purpose, fields_of
from kitdocs.document.walk import words_in
from kitdocs.revisions.alignment import excerpts, name_of, shortened
from kitdocs.revisions.rows import MOST_ROWS, columns, in_columns, items, lines, rows, steps, table, value_change
from kitdocs.revisions.sentences import Difference, changed


def block_differences(old: Any, new: Any, most: int = MOST_ROWS) -> Iterator[Difference]:
    """Compare two blocks of one kind. A table with more than `most` changed rows is reported by their names."""
    match old, new:
        case Band() as was, Band() as now:
            yield from _band(was, now)
        case Items() as was, Items() as now:
            yield from _by_field(was, now, "items")
            yield from items(was.items, now.items)
        case Steps() as was, Steps() as now:
            yield from _by_field(was, now, "steps")
            yield from steps(was.steps, now.steps)
        case Matrix() as was, Matrix() as now:
            yield from _by_field(was, now, "rows")
            yield from table(now.head, *in_columns((was.head, now.head), was.rows, now.rows), most)
        case FormGrid() as was, FormGrid() as now:
            yield from _by_field(was, now, "given")
            yield from table(now.columns, *in_columns((was.columns, now.columns), was.given, now.given), most)
        case Prose() as was, Prose() as now:
            yield from _prose(was.parts, now.parts)
        case _:
            yield from _by_field(old, new)


def _by_field(old: Any, new: Any, *without: str) -> Iterator[Difference]:
    """Compare the fields that a person reads, a block's title first, `without` those that are compared elsewhere."""
    read = [field for field in fields_of(type(new)) if Purpose.READ in field.purpose and field.name not in without]
    for field in sorted(read, key=lambda field: Purpose.NAME not in field.purpose):
        was, now = getattr(old, field.name), getattr(new, field.name)
        if as_read(was) != as_read(now):
            yield from _field(field, was, now, f"{kind_of(new)}-{field.name}", name_of(new))


def _field(field: Field, old: Any, new: Any, kind: str, name: str) -> Iterator[Difference]:
    if Purpose.NAME in field.purpose:
        yield changed("heading", old, new)
    elif Purpose.ROWS in field.purpose:
        yield from rows(old, new)
    elif isinstance(old or new, Matrix):
        yield from block_differences(old or Matrix(head=(), rows=()), new or Matrix(head=(), rows=()))
    elif Purpose.WORDS in field.purpose and isinstance(new, tuple):
        yield from columns(old, new)
    elif Purpose.WORDS in field.purpose:
        yield changed("reworded", *excerpts(old, new))
    elif Picture in (field.type, *get_args(field.type)):
        yield Difference(kind)
    else:
        yield value_change(kind, old, new, shortened(name))


def _band(old: Band, new: Band) -> Iterator[Difference]:
    """Compare bands. A chair's has a colour, and its word is the colour's name; the word of a white one is a code."""
    colours = {old.colour, new.colour} - {"#ffffff"}
    recoloured = old.word != new.word or old.colour != new.colour
    if old.word != new.word:
        yield changed("colour" if colours else "code", old.word, new.word)
    elif recoloured:
        yield Difference("shade", {"name": new.word})
    if old.name != new.name:
        yield changed("name", old.name, new.name)
    symbols = [band.mark.alt if band.mark else "" for band in (old, new)]
    if symbols[0] != symbols[1]:
        yield changed("mark", *symbols)
    elif not recoloured:
        yield from _by_field(old, new, "word", "name", "note", "colour")
    if old.note != new.note:
        yield changed("note", old.note, new.note)


def _prose(olds: Sequence[ProsePart], news: Sequence[ProsePart]) -> Iterator[Difference]:
    """Compare paragraphs, headings, list items and table rows, line by line; they are marked as a whole."""
    found = [Difference(each.kind, each.values) for each in lines([*_lines(olds)], [*_lines(news)], "text")]
    yield from found
    for old, new in zip_longest(_flat(olds), _flat(news)) if not found else ():
        if type(old) is type(new) and as_read(old) != as_read(new):
            yield from _by_field(old, new, "items") if isinstance(new, Listing) else block_differences(old, new)


def _flat(parts: Sequence[ProsePart]) -> Iterator[ProsePart]:
    for part in parts:
        yield part
        for item in part.items if isinstance(part, Listing) else ():
            yield from _flat(item)


def _lines(parts: Sequence[ProsePart]) -> Iterator[str]:
    for part in _flat(parts):
        if isinstance(part, Matrix):
            yield " | ".join(part.head)
            yield from (" | ".join(" · ".join(words_in(cell)) for cell in row) for row in part.rows)
        elif not isinstance(part, Listing):
            yield "".join(words_in(part))
