"""Labels and marks as they were recorded, and what to take off and stick on since.

A record holds all labels of a language, each with an edition of what is seen on it. Labels that every pack gets anew
are thrown away when they change, however many are left; of the others, the number counts, too. A label of a place
follows what stands there: a pack that moves is one exchange, from its old place to its new one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from kitdocs.document.card import Handbook
from kitdocs.document.edition import edition_of
from kitdocs.document.label_sheet import Label, LabelSheet
from kitdocs.practice.printed import PrintedLabel, PrintRecord

#: What to do about a label. One that moves is taken off at one place and stuck on, anew, at another.
LabelAction: TypeAlias = Literal["replace", "add", "take-out", "move"]

#: What stands between the parts of a label's text; the first part of a place's label is its code.
BETWEEN = " · "

#: What stays where it was put; a pack's label goes with its pack, a repair tag with the repair.
LASTING: frozenset[str] = frozenset({"chair-tag", "cassette-mark", "place-label"})


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelExchange:
    """A label to take off (`old`), to stick on (`new`), or both, as often as `taken` and `put` say.

    `old` and `new` are what is read on it; one of them is empty where nothing is taken off or put on. `taken` is 0 for
    labels that go with their packs: what is left of them is thrown away. `other_cassette`: the marks of a set go from
    its old cassettes to others.
    """

    kind: str
    label: str
    action: LabelAction
    old: str = ""
    new: str = ""
    taken: int = 0
    put: int = 0
    other_cassette: bool = False

    @property
    def places(self) -> tuple[str, str]:
        """The codes of the old and the new place of what moves."""
        old, new = (text.split(BETWEEN)[0] for text in (self.old, self.new))
        return old, new


@dataclass(frozen=True, slots=True, kw_only=True)
class OnSheet:
    """Where a label is printed, as often as it is put on: from a place of one sheet to one of the same, or another.

    Sheets of each kind, and the places of a sheet row by row, are counted from 1.
    """

    sheet: int
    place: int
    last_sheet: int
    last_place: int


def printed_labels(handbook: Handbook) -> tuple[PrintedLabel, ...]:
    """Return every label of a handbook as the print record keeps it."""
    return tuple(_printed(handbook, sheet, label) for sheet in handbook.labels for label in _once(sheet).values())


def _once(sheet: LabelSheet) -> Mapping[str, Label]:
    return {label.id: label for label in sheet.labels}


def _printed(handbook: Handbook, sheet: LabelSheet, label: Label) -> PrintedLabel:
    mark = label.mark.name if label.mark else ""
    seen = [label.word, label.name, label.note, label.colour, mark, *label.lines, *label.boxes, *label.checks]
    said = (label.word, label.name, label.note, label.mark.alt if label.mark else "")
    return PrintedLabel(
        kind=sheet.kind,
        label=label.id,
        language=handbook.language,
        edition=edition_of(seen),
        text=BETWEEN.join(part for part in said if part),
        count=sheet.wanted[label.id],
        on=label.on,
    )


def label_exchanges(record: PrintRecord, handbook: Handbook) -> tuple[LabelExchange, ...]:
    """Return the labels to exchange, in the order of their sheets, then those that are gone.

    None where no labels of the handbook's language were ever recorded.
    """
    old = {(label.kind, label.label): label for label in record.labels.get(handbook.language, ())}
    if not old:
        return ()
    new = {(label.kind, label.label): label for label in printed_labels(handbook)}
    lone = [each for key, each in old.items() if key not in new]
    alike = _alike(lone, [each for key, each in new.items() if key not in old])
    keys = (key for key in dict.fromkeys((*new, *old)) if key not in alike)
    found = [each for key in keys if (each := _exchange(old.get(key), new.get(key)))]
    # Whatever moves is followed; then, where one thing has taken another's place, its label takes the other's.
    return tuple(_joined(_joined(found, lambda each: _what(each.label), "move"), _code, "replace"))


def _alike(olds: Sequence[PrintedLabel], news: Sequence[PrintedLabel]) -> set[tuple[str, str]]:
    """Return the keys of labels that only their id tells apart: nobody sees it, so they stay where they are."""
    left = {(each.kind, each.edition, each.text, each.count): (each.kind, each.label) for each in olds}
    found: set[tuple[str, str]] = set()
    for new in news:
        if key := left.pop((new.kind, new.edition, new.text, new.count), None):
            found |= {key, (new.kind, new.label)}
    return found


def _what(label: str) -> str:
    """Return what stands on a shelf, by its id; empty for the label of anything else."""
    place, _, what = label.partition(" ")
    return "" if place in ("drawer", "hook") else what


def _code(each: LabelExchange) -> str:
    """Return the code of the place whose label comes or goes."""
    return (each.new or each.old).split(BETWEEN)[0]


def _joined(
    found: Sequence[LabelExchange], key: Callable[[LabelExchange], str], action: LabelAction
) -> list[LabelExchange]:
    """Join each label of a place that comes with one that goes and has the same key, as one exchange."""
    going = [each for each in found if each.kind == "place-label" and each.action == "take-out" and key(each)]
    partner: dict[int, LabelExchange] = {}
    for n, each in enumerate(found):
        comes = each.kind == "place-label" and each.action == "add"
        if comes and (pair := next((gone for gone in going if key(gone) == key(each)), None)):
            going.remove(pair)
            partner[n] = pair
    return [
        replace(each, action=action, old=partner[n].old, taken=partner[n].taken) if n in partner else each
        for n, each in enumerate(found)
        if each not in partner.values()
    ]


def _exchange(old: PrintedLabel | None, new: PrintedLabel | None) -> LabelExchange | None:
    """Return what to do about one label; None where it is as it was recorded."""
    if old is None or new is None or old.edition != new.edition or _on_others(old, new):
        return _replaced(old, new)
    more = new.count - old.count
    if not more or new.kind not in LASTING:
        return None
    if more > 0:
        return LabelExchange(kind=new.kind, label=new.label, action="add", new=_read(new), put=more)
    return LabelExchange(kind=old.kind, label=old.label, action="take-out", old=_read(old), taken=-more)


def _replaced(old: PrintedLabel | None, new: PrintedLabel | None) -> LabelExchange | None:
    key = new or old
    if key is None:
        return None
    return LabelExchange(
        kind=key.kind,
        label=key.label,
        action="replace" if old and new else "add" if new else "take-out",
        old=_read(old) if old else "",
        new=_read(new) if new else "",
        taken=old.count if old and old.kind in LASTING else 0,
        put=new.count if new else 0,
        other_cassette=bool(old and new and _on_others(old, new)),
    )


def _on_others(old: PrintedLabel, new: PrintedLabel) -> bool:
    """Whether what carries the label is another cassette now; older records do not say on which it was."""
    return bool(old.on and new.on) and old.on != new.on


def _read(label: PrintedLabel) -> str:
    """Return what is read on a label; of one that a record has no words of, its id."""
    return label.text or label.label


def sheets_of_exchanged(handbook: Handbook, exchanges: Sequence[LabelExchange]) -> tuple[LabelSheet, ...]:
    """Return the label sheets to print: only what is put on, each as often as it is wanted."""
    wanted = {(each.kind, each.label): each.put for each in exchanges if each.put}
    return tuple(
        replace(sheet, labels=labels) for sheet in handbook.labels if (labels := tuple(_as_often(sheet, wanted)))
    )


def _as_often(sheet: LabelSheet, wanted: Mapping[tuple[str, str], int]) -> Iterator[Label]:
    for id_, label in _once(sheet).items():
        yield from (label for _ in range(wanted.get((sheet.kind, id_), 0)))


def places_on_sheets(sheets: Sequence[LabelSheet]) -> Mapping[tuple[str, str], OnSheet]:
    """Return where the labels of `sheets_of_exchanged` are, by kind and id."""
    found: dict[tuple[str, str], OnSheet] = {}
    for sheet in sheets:
        ids = [label.id for label in sheet.labels]
        for id_ in dict.fromkeys(ids):
            first = divmod(ids.index(id_), sheet.grid.places)
            last = divmod(ids.index(id_) + ids.count(id_) - 1, sheet.grid.places)
            found[sheet.kind, id_] = OnSheet(
                sheet=first[0] + 1, place=first[1] + 1, last_sheet=last[0] + 1, last_place=last[1] + 1
            )
    return found
