"""What is different in a list, a table or a text: rows added and taken out, counts, places, words."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

from kitdocs.document.content import as_read
from kitdocs.revisions.plain import (
    Pair,
    aligned,
    fragments,
    joined,
    number,
    paired,
    parts,
    picture_alts,
    picture_names,
    shortened,
    words_of,
)
from kitdocs.revisions.sentences import Difference, listed

#: So many changed rows of one table are told one by one; of more, only the names.
MOST_ROWS = 8
#: Two texts that have more letters together are not told whole.
LONG = 80


def items(old: Any, new: Any) -> Iterator[Difference]:
    """Rows are known by their id. The places of a template are told in one sentence: one more moves all behind it."""
    pairs = paired(parts(old, "items"), parts(new, "items"), _item_key)
    moved: dict[str, str] = {}
    for pair in pairs:
        mark = (words_of(pair.new, "id"),)
        name = words_of(pair.new or pair.old, "name")
        if pair.new is None:
            yield Difference("row-removed", {"name": name})
        elif pair.old is None:
            many = number(pair.new, "count") or 1
            yield Difference("row-added-many" if many > 1 else "row-added", {"name": name, "count": str(many)}, mark)
        elif as_read(pair.old) != as_read(pair.new):
            told = [replace(each, marks=mark) for each in _item(pair.old, pair.new, name)]
            yield from told
            if not told and number(pair.old, "number") == number(pair.new, "number"):
                yield Difference("row-other", {"name": name}, mark)
            if number(pair.old, "number") != number(pair.new, "number"):
                moved[mark[0]] = f"{name} {number(pair.old, 'number')} → {number(pair.new, 'number')}"
    if moved:
        yield Difference("places", {"rows": ", ".join(moved.values())}, tuple(moved))
    if not moved:
        yield from _another_order(pairs, [_item_key(row) for row in parts(old, "items")], _item_key, "name")


def _item_key(item: Any) -> str:
    """The id; on a template, where the number of the place is part of it, without that number."""
    return re.sub(rf"^{number(item, 'number')}-", "", words_of(item, "id") or words_of(item, "name"))


def _item(old: Any, new: Any, name: str) -> Iterator[Difference]:
    """What is different in a row; a picture follows what the thing is called and what is said of it."""
    told = [*_item_words(old, new, name)]
    yield from told
    worded = any(each.kind in ("renamed", "row") for each in told)
    if not worded:
        yield from _picture(name, old, new)


def _item_words(old: Any, new: Any, name: str) -> Iterator[Difference]:
    if words_of(old, "name") != name:
        yield Difference("renamed", {"old": words_of(old, "name"), "new": name})
    counts = number(old, "count"), number(new, "count")
    if counts[0] != counts[1]:
        yield Difference("count", {"name": name, "old": _told(counts[0]), "new": _told(counts[1])})
    layers = number(old, "layer") or 1, number(new, "layer") or 1
    if layers[0] != layers[1]:
        yield Difference("layer", {"name": name, "old": str(layers[0]), "new": str(layers[1])})
    for what in ("detail", "note"):
        if words_of(old, what) != words_of(new, what):
            yield _row_reworded(name, words_of(old, what), words_of(new, what))
    where = _spans(old, "where"), _spans(new, "where")
    if where[0] != where[1]:
        yield _row_reworded(name, *where)


def _spans(thing: Any, name: str) -> str:
    return "".join(words_of(span, "text") for span in parts(thing, name))


def facts(old: Any, new: Any) -> Iterator[Difference]:
    """Facts are known by their label, and one with another label but the same value is renamed."""
    pairs = paired(parts(old, "facts"), parts(new, "facts"), lambda fact: words_of(fact, "label"))
    for pair in joined(pairs, lambda was, is_: _same_rest(was, is_, "label")):
        label, mark = words_of(pair.new or pair.old, "label"), (str(pair.index),)
        if pair.new is None:
            yield Difference("fact-removed", {"name": label, "old": words_of(pair.old, "value")})
        elif pair.old is None:
            yield Difference("fact-added", {"name": label, "new": words_of(pair.new, "value")}, mark)
        else:
            if words_of(pair.old, "label") != label:
                yield Difference("renamed", {"old": words_of(pair.old, "label"), "new": label}, mark)
            if words_of(pair.old, "value") != words_of(pair.new, "value"):
                was, is_ = _short(words_of(pair.old, "value"), words_of(pair.new, "value"))
                yield Difference("fact", {"name": label, "old": was, "new": is_}, mark)
            else:
                yield from (replace(each, marks=mark) for each in _picture(label, pair.old, pair.new))
    labels = [words_of(fact, "label") for fact in parts(old, "facts")]
    stay = [pair for pair in pairs if words_of(pair.old, "label") == words_of(pair.new, "label")]
    yield from _another_order(stay, labels, lambda fact: words_of(fact, "label"), "label")


def _same_rest(old: Any, new: Any, name: str) -> bool:
    was, is_ = as_read(old), as_read(new)
    rest = [{k: v for k, v in of.items() if k != name} if isinstance(of, dict) else of for of in (was, is_)]
    return bool(rest[0]) and rest[0] == rest[1]


def steps(old: Any, new: Any) -> Iterator[Difference]:
    """Steps are known by their words; one that takes the place of another is that one, reworded."""
    was, is_ = parts(old, "steps"), parts(new, "steps")
    yield from _lines([words_of(step, "text") for step in was], [words_of(step, "text") for step in is_], "step")
    for pair in paired(was, is_, lambda step: words_of(step, "text")):
        if pair.old is None or pair.new is None or as_read(pair.old) == as_read(pair.new):
            continue
        at, mark = {"n": str(pair.index + 1)}, (str(pair.index),)
        choices = [" · ".join(filter(_is_text, parts(step, "choices"))) for step in (pair.old, pair.new)]
        if choices[0] != choices[1]:
            old_choices, new_choices = fragments(*choices)
            yield Difference("step", {**at, "old": old_choices, "new": new_choices}, mark)
        else:
            yield Difference("step-picture", at, mark)


def _is_text(thing: Any) -> bool:
    return isinstance(thing, str)


def prose(old: Any, new: Any) -> Iterator[Difference]:
    """A page's paragraphs, headings, list items and table rows, line by line; they are marked as a whole."""
    for each in _lines([*_prose_lines(old)], [*_prose_lines(new)], "text"):
        yield Difference(each.kind, each.values)


def _prose_lines(thing: Any) -> Iterator[str]:
    kind = words_of(thing, "is")
    if kind == "paragraph":
        yield _spans(thing, "spans")
    elif kind == "heading":
        yield words_of(thing, "text")
    elif kind == "matrix":
        yield " | ".join(part for part in parts(thing, "head") if isinstance(part, str))
        yield from (" | ".join(map(_cell_text, row)) for row in parts(thing, "rows") if isinstance(row, list))
    elif kind == "listing":
        for item in parts(thing, "items"):
            for part in item if isinstance(item, list) else ():
                yield from _prose_lines(part)
    else:
        for part in parts(thing, "parts"):
            yield from _prose_lines(part)


def _lines(old: list[str], new: list[str], what: str) -> Iterator[Difference]:
    for pair in aligned(old, new):
        at = {"n": str(pair.index + 1)}
        if pair.new is None:
            yield Difference(f"{what}-removed", {"text": shortened(pair.old)})
        elif pair.old is None:
            yield Difference(f"{what}-added", {**at, "text": shortened(pair.new)}, (str(pair.index),))
        else:
            was, is_ = fragments(pair.old, pair.new)
            yield Difference(what, {**at, "old": was, "new": is_}, (str(pair.index),))


def matrix(old: Any, new: Any, most: int = MOST_ROWS) -> Iterator[Difference]:
    """Rows are known by the card that they lead to, or by their first cell. More than `most` are told by name only."""
    head, was = parts(new, "head"), parts(old, "head")
    for pair in aligned([str(part) for part in was], [str(part) for part in head]):
        yield Difference("column", {"old": pair.old or "–", "new": pair.new or "–"})
    pairs = paired(_rows(old), _rows(new), _row_key)
    pairs = joined(pairs, lambda row, other: bool(row[1:]) and as_read(row[1:]) == as_read(other[1:]))
    changed = [pair for pair in pairs if as_read(pair.old) != as_read(pair.new)]
    if len(changed) > most:
        names = listed(map(_row_names, changed))
        new = tuple(str(pair.index) for pair in changed if pair.new)
        yield Difference("many-rows", {"rows": names}, new)
        return
    for pair in changed:
        yield from (replace(each, marks=(str(pair.index),) if pair.new else ()) for each in _row(pair, head))
    if not changed:
        yield from _another_order(pairs, [_row_key(row) for row in _rows(old)], _row_key, "")


def _rows(table: Any) -> list[list[Any]]:
    return [row for row in parts(table, "rows") if isinstance(row, list)]


def _row_names(pair: Pair) -> str:
    """A row's name; of one that has another name now, both."""
    both = dict.fromkeys(_row_name(row) for row in (pair.old, pair.new) if row is not None)
    return " → ".join(both)


def _row(pair: Pair, head: list[Any]) -> Iterator[Difference]:
    old, new = pair.old, pair.new
    name = _row_name(new or old)
    if new is None or old is None:
        rest = " · ".join(filter(None, map(_cell_text, (new or old)[1:])))
        kind = "table-row-removed" if new is None else "table-row-added"
        yield Difference(kind if rest else f"{kind}-alone", {"name": name} | ({"text": rest} if rest else {}))
        return
    if _row_name(old) != name:
        yield _renamed(_row_name(old), name)
    for n in range(max(len(old), len(new))):
        was, is_ = (row[n] if n < len(row) else "" for row in (old, new))
        texts = (words_of(was, "detail"), words_of(is_, "detail")) if n == 0 else (_cell_text(was), _cell_text(is_))
        column = str(head[n]) if n < len(head) and n else ""
        if texts[0] != texts[1]:
            told = _short(*texts)
            values = {"name": name, "column": column, "old": told[0] or "–", "new": told[1] or "–"}
            yield Difference("cell" if column else "row", values if column else _without(values, "column"))
        else:
            yield from _picture(name, was, is_)


def form(old: Any, new: Any) -> Iterator[Difference]:
    """Columns, the fields above them, and the rows that are filled in."""
    for what in ("columns", "fields"):
        for pair in aligned([str(part) for part in parts(old, what)], [str(part) for part in parts(new, what)]):
            yield Difference("column", {"old": pair.old or "–", "new": pair.new or "–"})
    yield from matrix({"rows": parts(old, "given")}, {"rows": parts(new, "given")})
    rows = number(old, "rows"), number(new, "rows")
    if rows[0] != rows[1]:
        yield Difference("form-rows", {"old": _told(rows[0]), "new": _told(rows[1])})


def _another_order(pairs: list[Pair], was: list[str], key: Callable[[Any], str], name: str) -> Iterator[Difference]:
    """Said when the rows that both have stand in another order."""
    stay = [pair.new for pair in pairs if pair.old is not None and pair.new is not None]
    keys = [key(row) for row in stay]
    if keys != [k for k in was if k in set(keys)]:
        yield Difference("order", {"rows": listed(words_of(row, name) if name else _row_name(row) for row in stay)})


def _row_key(row: Any) -> str:
    first = row[0] if isinstance(row, list) and row else ""
    return words_of(first, "link") or _cell_text(first)


def _row_name(row: Any) -> str:
    first = row[0] if isinstance(row, list) and row else ""
    return words_of(first, "text") or words_of(first, "detail")


def _cell_text(cell: Any) -> str:
    return words_of(cell, "text", "detail")


def _row_reworded(name: str, old: str, new: str) -> Difference:
    if not old or not new:
        return Difference("row", {"name": name, "old": old or "–", "new": new or "–"})
    was, is_ = fragments(old, new)
    return Difference("row", {"name": name, "old": was, "new": is_})


def _picture(name: str, old: Any, new: Any) -> Iterator[Difference]:
    """What the pictures of a row show, where that is said in few words."""
    if picture_names(old) != picture_names(new):
        was, is_ = picture_alts(old), picture_alts(new)
        told = bool(was and is_) and was != is_
        yield (
            Difference("row", {"name": name, "old": was, "new": is_})
            if told
            else Difference("row-picture", {"name": name})
        )


def _renamed(old: str, new: str) -> Difference:
    """A row that is called otherwise; one that is a whole sentence is reworded."""
    was, is_ = _short(old, new)
    return Difference("renamed" if (was, is_) == (old, new) else "text", {"old": was, "new": is_})


def _short(old: str, new: str) -> tuple[str, str]:
    """Two texts; of long ones only what differs."""
    return fragments(old, new) if len(f"{old} {new}") > LONG else (old, new)


def _told(count: int | None) -> str:
    return "–" if count is None else str(count)


def _without(values: dict[str, str], name: str) -> dict[str, str]:
    return {key: value for key, value in values.items() if key != name}
