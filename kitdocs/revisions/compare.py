"""What is different between two editions of a card, part by part. Cards that are read alike have no difference."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from kitdocs.document.content import as_read
from kitdocs.practice.printed import PrintedCard
from kitdocs.revisions.plain import Pair, alt_of, fragments, joined, paired, picture_names, words_of
from kitdocs.revisions.rows import facts, form, items, matrix, prose, steps
from kitdocs.revisions.sentences import Difference


def differences(old: PrintedCard, new: PrintedCard) -> tuple[Difference, ...]:
    """Everything that a person would read differently on the new card; empty when the two are read alike.

    One difference of the kind ``unknown`` when the record does not hold what the old card said.
    """
    if not (old.front or old.back):
        return () if old.edition == new.edition else (Difference("unknown"),)
    found = _Found()
    for side in ("front", "back"):
        _side(found, side, getattr(old, side), getattr(new, side))
    if len(found.all) > _MOST:
        found.brief()
    heads = [*_heads(old, new, found)]
    if not (heads or found.all) and _whole(old) != _whole(new):
        heads.append(Difference("arranged"))
    return _without_echoes([*heads, *found.all])


def _without_echoes(found: Sequence[Difference]) -> tuple[Difference, ...]:
    """Where a thing that has another name is only mentioned, that is not told again, but marked all the same."""
    names = [(each.values["old"], each.values["new"]) for each in found if each.kind == "renamed"]
    echoes = [each for each in found if each.kind != "renamed" and _follows(each.values, names)]
    marked = tuple(mark for each in echoes for mark in each.marks)
    kept = [each for each in found if each not in echoes]
    first = next((n for n, each in enumerate(kept) if each.kind == "renamed"), 0)
    return tuple(replace(each, marks=each.marks + marked) if n == first else each for n, each in enumerate(kept))


def _follows(values: Mapping[str, str], names: Sequence[tuple[str, str]]) -> bool:
    """Whether what is different is only these names."""
    was, is_ = values.get("old", ""), values.get("new", "")
    for old, new in names:
        was = was.replace(old, new)
    return bool(names) and was == is_ != ""


def _whole(card: PrintedCard) -> Any:
    return as_read([card.title, card.subtitle, card.section, card.hangs, list(card.front), list(card.back)])


#: Of a card with more differences, tables are told only by the names of their rows.
_MOST = 12


@dataclass(slots=True)
class _Found:
    """What was found so far. `told` are pairs of words that need not be told again where they stand elsewhere."""

    all: list[Difference] = field(default_factory=list)
    told: list[tuple[str, str]] = field(default_factory=list)
    tables: list[tuple[int, int, Pair, str]] = field(default_factory=list)
    """From where to where in `all` each table is told, and the table."""

    def brief(self) -> None:
        """Tell the tables anew, each in one sentence that names its rows."""
        for start, end, pair, mark in reversed(self.tables):
            told = [*_titled(pair.old, pair.new), *matrix(pair.old, pair.new, most=1)]
            self.all[start:end] = [each.within(_where(pair), "matrix", mark) for each in told]


def _heads(old: PrintedCard, new: PrintedCard, found: _Found) -> Iterator[Difference]:
    """What stands around the blocks; a title that only follows the band's name is told with the name."""
    for name in ("title", "subtitle", "section", "hangs"):
        was, is_ = getattr(old, name), getattr(new, name)
        follows = any(before and was.replace(before, after) == is_ for before, after in found.told)
        if was != is_ and not follows:
            yield Difference(name, {"old": was or "–", "new": is_ or "–"})


def _side(found: _Found, side: str, olds: Sequence[Any], news: Sequence[Any]) -> None:
    """The blocks of one side: equal ones, then those with the same title, then those of the same kind are compared."""
    pairs = paired(olds, news, lambda block: repr(as_read(block)))
    pairs = joined(pairs, lambda was, is_: _kind(was) == _kind(is_) and _title(was) == _title(is_))
    for pair in joined(pairs, lambda was, is_: _kind(was) == _kind(is_)):
        if pair.old is None or pair.new is None:
            found.all.append(_block_alone(pair, side))
        elif as_read(pair.old) != as_read(pair.new):
            _block(found, pair, f"{side}.{pair.index}")


def _block(found: _Found, pair: Pair, mark: str) -> None:
    old, new = pair.old, pair.new
    kind = _kind(new)
    if kind == "band":
        told = [*_band(found, old, new)]
    elif kind == "code":
        told = [*_code(old, new, found)]
        if not told:
            return
    else:
        told = [*_titled(old, new), *_OF_KIND[kind](old, new)] if kind in _OF_KIND else [*_titled(old, new)]
    told = told or [Difference("block-changed")]
    if kind == "matrix":
        found.tables.append((len(found.all), len(found.all) + len(told), pair, mark))
    found.all += [each.within(_where(pair), kind, mark) for each in told]


def _where(pair: Pair) -> str:
    return _title(pair.new) or _title(pair.old)


def _block_alone(pair: Pair, side: str) -> Difference:
    block = pair.old if pair.new is None else pair.new
    what = "block-removed" if pair.new is None else "block-added"
    said = " · ".join(_said(block))
    values = {"text": said} if said else {}
    mark = f"{side}.{pair.index}" if pair.new is not None else ""
    return Difference(what if said else f"{what}-alone", values).within(_title(block), _kind(block), mark)


def _said(thing: Any) -> Iterator[str]:
    """All the words of a block, in order."""
    if isinstance(thing, dict):
        for name, part in thing.items():
            if name in ("text", "name", "detail", "note", "label", "value", "caption", "word") and isinstance(
                part, str
            ):
                yield part
            elif name not in ("picture", "pictures", "mark"):
                yield from _said(part) if not isinstance(part, str) else ()
    elif isinstance(thing, list):
        for part in thing:
            yield from [part] if isinstance(part, str) else _said(part)


def _kind(block: Any) -> str:
    return words_of(block, "is")


def _title(block: Any) -> str:
    return words_of(block, "title")


def _titled(old: Any, new: Any) -> Iterator[Difference]:
    if _title(old) != _title(new):
        yield Difference("heading", {"old": _title(old) or "–", "new": _title(new) or "–"})


def _band(found: _Found, old: Any, new: Any) -> Iterator[Difference]:
    """A coloured band is a chair's, whose word is the colour's name; the word of a white one is a short name."""
    word, name = ((words_of(old, key), words_of(new, key)) for key in ("word", "name"))
    colours = [words_of(band, "colour") for band in (old, new)]
    if word[0] != word[1]:
        yield Difference("colour" if any(colours) else "code", {"old": word[0], "new": word[1]})
    elif colours[0] != colours[1]:
        yield Difference("shade", {"name": word[1]})
    if name[0] != name[1]:
        yield Difference("name", {"old": name[0], "new": name[1]})
    found.told += [word, name]
    marks = alt_of(old, "mark"), alt_of(new, "mark")
    if marks[0] != marks[1]:
        yield Difference("mark", {"old": marks[0] or "–", "new": marks[1] or "–"})
    elif picture_names(old) != picture_names(new) and colours[0] == colours[1] and word[0] == word[1]:
        yield Difference("mark-drawn")
    if words_of(old, "note") != words_of(new, "note"):
        yield Difference("note", {"old": words_of(old, "note") or "–", "new": words_of(new, "note") or "–"})


def _caution(old: Any, new: Any) -> Iterator[Difference]:
    if words_of(old, "text") != words_of(new, "text"):
        yield _reworded(old, new, "text")


def _illustration(old: Any, new: Any) -> Iterator[Difference]:
    if picture_names(old) != picture_names(new):
        yield Difference("drawing")
    if words_of(old, "caption") != words_of(new, "caption"):
        yield _reworded(old, new, "caption")


def _chart(old: Any, new: Any) -> Iterator[Difference]:
    if words_of(old, "summary") != words_of(new, "summary"):
        yield _reworded(old, new, "summary")
    yield from matrix(old.get("table") or {}, new.get("table") or {})


def _heading(old: Any, new: Any) -> Iterator[Difference]:
    if words_of(old, "text") != words_of(new, "text"):
        yield _reworded(old, new, "text")


def _code(old: Any, new: Any, found: _Found) -> Iterator[Difference]:
    """The address in words. Without a site the code holds the card's text, which is told already."""
    if words_of(old, "address") != words_of(new, "address"):
        yield Difference("address", {"old": words_of(old, "address") or "–", "new": words_of(new, "address") or "–"})
    elif words_of(old, "payload") != words_of(new, "payload") and not found.all:
        yield Difference("payload")
    if words_of(old, "note") != words_of(new, "note"):
        yield _reworded(old, new, "note")


def _reworded(old: Any, new: Any, name: str) -> Difference:
    was, is_ = fragments(words_of(old, name), words_of(new, name))
    return Difference("reworded", {"old": was, "new": is_})


_OF_KIND = {
    "caution": _caution,
    "chart": _chart,
    "facts": facts,
    "form-grid": form,
    "heading": _heading,
    "illustration": _illustration,
    "items": items,
    "matrix": matrix,
    "prose": prose,
    "steps": steps,
}
