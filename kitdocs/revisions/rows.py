"""Differences in the rows of a block: rows added, left out, renamed, in another order, and what changed in each."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from difflib import SequenceMatcher
from typing import Any, TypeVar, get_args

from kitdocs.document.blocks import Cell, Item, Picture, Step, kind_of
from kitdocs.document.content import as_read
from kitdocs.document.purpose import Field, Purpose, fields_of
from kitdocs.document.walk import words_in
from kitdocs.revisions.alignment import Pair, aligned, excerpts, joined, key_of, name_of, paired, shortened
from kitdocs.revisions.sentences import Difference, changed, listed

#: A table with more changed rows is reported by the names of these rows only.
MOST_ROWS = 8
#: Two texts of more letters in all are quoted in excerpts.
LONG = 80

T = TypeVar("T")
Row = tuple[Cell, ...]


def items(olds: Sequence[Item], news: Sequence[Item]) -> Iterator[Difference]:
    """Compare things known by their id. New places on a template are reported together: one more moves all after it."""
    pairs = paired(olds, news, _item_key)
    places: dict[str, str] = {}
    for pair in pairs:
        match pair.old, pair.new:
            case Item() as gone, None:
                yield Difference("row-removed", {"name": gone.name})
            case None, Item() as new:
                kind = "row-added-many" if (new.count or 1) > 1 else "row-added"
                yield Difference(kind, {"name": new.name, "count": str(new.count)}, (new.id,))
            case Item() as old, Item() as new:
                for difference in part_differences(old, new):
                    if difference.kind == "item-number":
                        places[new.id] = "{name} {old} → {new}".format(**difference.values)
                    else:
                        yield replace(difference, marks=(new.id,))
    if places:
        yield Difference("places", {"rows": ", ".join(places.values())}, tuple(places))
    else:
        yield from _another_order(pairs, olds, _item_key)


def _item_key(item: Item) -> str:
    """Return the id without the number of its place, which is part of it on a template."""
    return key_of(item).removeprefix(f"{item.number}-")


def rows(olds: Sequence[Any], news: Sequence[Any]) -> Iterator[Difference]:
    """Compare parts known by their key. One with another key and the same words otherwise is renamed."""
    pairs = joined(paired(olds, news), lambda old, new: _rest(old) == _rest(new) != "")
    for pair in pairs:
        if pair.old is None or pair.new is None:
            yield _row_alone(pair)
        else:
            yield from (replace(each, marks=pair.mark) for each in part_differences(pair.old, pair.new))
    yield from _another_order(pairs, olds, key_of)


def steps(olds: Sequence[Step], news: Sequence[Step]) -> Iterator[Difference]:
    """Compare steps known by their words; one that takes the place of another is that one, reworded."""
    yield from lines([step.text for step in olds], [step.text for step in news], "step")
    for pair in paired(olds, news):
        if pair.old is None or pair.new is None:
            continue
        place = {"n": str(pair.index + 1)}
        old, new = (" · ".join(step.choices) for step in (pair.old, pair.new))
        if old != new:
            yield replace(changed("step", *excerpts(old, new), **place), marks=pair.mark)
        if as_read(pair.old.picture) != as_read(pair.new.picture):
            yield Difference("step-picture", place, pair.mark)


def lines(olds: Sequence[str], news: Sequence[str], kind: str) -> Iterator[Difference]:
    """Compare lines of text in their order."""
    for pair in aligned(olds, news):
        place = {"n": str(pair.index + 1)}
        if pair.new is None:
            yield Difference(f"{kind}-removed", {"text": shortened(pair.old or "") or "–"})
        elif pair.old is None:
            yield Difference(f"{kind}-added", {**place, "text": shortened(pair.new) or "–"}, pair.mark)
        else:
            yield replace(changed(kind, *excerpts(pair.old, pair.new), **place), marks=pair.mark)


def columns(olds: Sequence[str], news: Sequence[str]) -> Iterator[Difference]:
    """Compare the heads of columns, or the fields of a form."""
    for pair in aligned(olds, news):
        if pair.old is None:
            yield Difference("column-added", {"name": pair.new or "–"})
        elif pair.new is None:
            yield Difference("column-removed", {"name": pair.old or "–"})
        else:
            yield changed("column", pair.old, pair.new)


def in_columns(
    heads: tuple[Sequence[str], Sequence[str]], olds: Sequence[Row], news: Sequence[Row]
) -> tuple[Sequence[Row], Sequence[Row]]:
    """Return old and new rows with each old cell below the head that it has now.

    Cells of a column that is gone are left out, and empty ones at a row's end. A column that has another name, but
    stands where it was, is the same.
    """
    before, after = heads
    if len(before) == len(after):
        return olds, news
    came_from: dict[int, int] = {}
    for tag, i1, i2, j1, j2 in SequenceMatcher(None, before, after, autojunk=False).get_opcodes():
        if tag in ("equal", "replace"):
            came_from |= dict(zip(range(j1, j2), range(i1, i2), strict=False))

    def moved(row: Row) -> Row:
        cells = dict(enumerate(row))
        return row if len(row) == 1 else tuple(cells.get(came_from.get(n, -1), Cell()) for n in range(len(after)))

    return [_without_empty_end(moved(row)) for row in olds], [_without_empty_end(row) for row in news]


def _without_empty_end(row: Row) -> Row:
    last = max((n for n, cell in enumerate(row) if cell != Cell()), default=0)
    return row[: last + 1]


def table(head: Sequence[str], olds: Sequence[Row], news: Sequence[Row], most: int = MOST_ROWS) -> Iterator[Difference]:
    """Compare rows known by the card that their first cell leads to, or by its words."""
    pairs = joined(paired(olds, news), lambda old, new: bool(old[1:]) and as_read(old[1:]) == as_read(new[1:]))
    edited = [pair for pair in pairs if as_read(pair.old) != as_read(pair.new)]
    if len(edited) > most:
        names = (dict.fromkeys(name_of(row) for row in (pair.old, pair.new) if row is not None) for pair in edited)
        marks = tuple(mark for pair in edited for mark in pair.mark)
        yield Difference("many-rows", {"rows": listed(map(" → ".join, names))}, marks)
    elif edited:
        for pair in edited:
            yield from (replace(each, marks=pair.mark) for each in _table_row(pair, head))
    else:
        yield from _another_order(pairs, olds, key_of)


def _table_row(pair: Pair[Row], head: Sequence[str]) -> Iterator[Difference]:
    old, new = pair.old, pair.new
    if old is None or new is None:
        yield _row_alone(pair)
        return
    if name_of(old[:1]) != name_of(new[:1]):
        yield renamed(name_of(old[:1]), name_of(new[:1]))
    for n in range(max(len(old), len(new))):
        column = head[n] if 0 < n < len(head) else ""
        was, now = (row[n] if n < len(row) else Cell() for row in (old, new))
        yield from _cell(name_of(new), column, *(replace(cell, text="") if n == 0 else cell for cell in (was, now)))


def _cell(name: str, column: str, old: Cell, new: Cell) -> Iterator[Difference]:
    texts = [" · ".join(words_in(cell)) for cell in (old, new)]
    if texts[0] != texts[1]:
        more = {"column": column} if column else {}
        yield changed("cell" if column else "row", *_quoted(*texts), name=name, **more)
    else:
        yield from part_differences(replace(old, text=name, detail=""), replace(new, text=name, detail=""))


def part_differences(old: Any, new: Any) -> Iterator[Difference]:
    """Compare two rows field by field. A picture follows the words, and is reported when they stay the same."""
    read = [field for field in fields_of(type(new)) if Purpose.READ in field.purpose]
    edited = [field for field in read if as_read(getattr(old, field.name)) != as_read(getattr(new, field.name))]
    pictures = [field for field in edited if Picture in (field.type, *get_args(field.type))]
    first = next((field for field in read if Purpose.WORDS in field.purpose), None)
    found = [_field(field, old, new, field is first) for field in edited if field not in pictures]
    yield from found
    if not any(difference.kind in ("renamed", "text", "row") for difference in found):
        yield from (_picture(name_of(new), getattr(old, f.name), getattr(new, f.name)) for f in pictures)


def _field(field: Field, old: Any, new: Any, names_row: bool) -> Difference:
    kind, name = f"{kind_of(new)}-{field.name}", name_of(new)
    was, now = getattr(old, field.name), getattr(new, field.name)
    if names_row:
        return renamed(was, now)
    if isinstance(now, str | tuple):
        texts = [value if isinstance(value, str) else "".join(words_in(value)) for value in (was, now)]
        if texts[0] != texts[1]:
            return changed("row", *_quoted(*texts), name=name)
    return value_change(kind, was, now, name)


def value_change(kind: str, old: Any, new: Any, name: str) -> Difference:
    """Return a switch that was turned, a number that changed, or words in another style."""
    if isinstance(new, bool):
        return Difference(f"{kind}-{'on' if new else 'off'}", {"name": name})
    if isinstance(new, tuple):
        return Difference("emphasis", {"name": name})
    return changed(kind, *("" if value is None else str(value) for value in (old, new)), name=name)


def _picture(name: str, old: Any, new: Any) -> Difference:
    """Report a picture by the few words for it, where both have some."""
    was, now = (
        ", ".join(picture.alt for picture in (value if isinstance(value, tuple) else (value,)) if picture)
        for value in (old, new)
    )
    shown = was and now and was != now
    return changed("row", was, now, name=name) if shown else Difference("row-picture", {"name": name})


def renamed(old: str, new: str) -> Difference:
    """Return a row's new name; a row that is a whole sentence is reworded."""
    quoted = _quoted(old, new)
    return changed("renamed" if quoted == (old, new) else "text", *quoted)


def _quoted(old: str, new: str) -> tuple[str, str]:
    return excerpts(old, new) if len(f"{old} {new}") > LONG else (old, new)


def _rest(row: Any) -> str:
    return " · ".join([*words_in(row)][1:])


def _row_alone(pair: Pair[Any]) -> Difference:
    """Return a row that is new or left out, with its other words."""
    kind, row = ("table-row-removed", pair.old) if pair.new is None else ("table-row-added", pair.new)
    values = {"name": name_of(row), "text": _rest(row)}
    return Difference(kind if values["text"] else f"{kind}-alone", values, pair.mark)


def _another_order(pairs: Iterable[Pair[T]], olds: Sequence[T], key: Callable[[T], str]) -> Iterator[Difference]:
    kept = [(pair.old, pair.new) for pair in pairs if pair.old is not None and pair.new is not None]
    stay = [new for old, new in kept if key(old) == key(new)]
    keys = [key(row) for row in stay]
    if keys != [old_key for old_key in map(key, olds) if old_key in set(keys)]:
        yield Difference("order", {"rows": listed(map(name_of, stay))})
