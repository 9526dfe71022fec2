"""Labels and marks as they were recorded, and what to take off and stick on since.

A record holds all labels of a language, each with an edition of what is seen on it. Labels that every pack gets anew
are thrown away when they change, however many are left; of the others, the number counts, too.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from kitdocs.document.card import Handbook
from kitdocs.document.edition import edition_of
from kitdocs.document.history import Action
from kitdocs.document.label_sheet import Label, LabelSheet
from kitdocs.practice.printed import PrintedLabel, PrintRecord

#: What stays where it was put; a pack's label goes with its pack, a repair tag with the repair.
LASTING: frozenset[str] = frozenset({"chair-tag", "cassette-mark", "place-label"})


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelExchange:
    """A label to take off (`old`), to stick on (`new`), or both, as often as `taken` and `put` say.

    `old` and `new` are what is read on it; one of them is empty where nothing is taken off or put on. `taken` is 0 for
    labels that go with their packs: what is left of them is thrown away.
    """

    kind: str
    label: str
    action: Action
    old: str = ""
    new: str = ""
    taken: int = 0
    put: int = 0


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
        text=" · ".join(part for part in said if part),
        count=sheet.wanted[label.id],
    )


def label_exchanges(record: PrintRecord, handbook: Handbook) -> tuple[LabelExchange, ...]:
    """Return the labels to exchange, in the order of their sheets, then those that are gone.

    None where no labels of the handbook's language were ever recorded.
    """
    old = {(label.kind, label.label): label for label in record.labels.get(handbook.language, ())}
    new = {(label.kind, label.label): label for label in printed_labels(handbook)}
    found = (_exchange(old.get(key), new.get(key)) for key in dict.fromkeys((*new, *old)))
    return tuple(each for each in found if each) if old else ()


def _exchange(old: PrintedLabel | None, new: PrintedLabel | None) -> LabelExchange | None:
    """Return what to do about one label; None where it is as it was recorded."""
    if old is None or new is None or old.edition != new.edition:
        return _replaced(old, new)
    more = new.count - old.count
    if not more or new.kind not in LASTING:
        return None
    if more > 0:
        return LabelExchange(kind=new.kind, label=new.label, action="add", new=new.text, put=more)
    return LabelExchange(kind=old.kind, label=old.label, action="take-out", old=old.text, taken=-more)


def _replaced(old: PrintedLabel | None, new: PrintedLabel | None) -> LabelExchange | None:
    key = new or old
    if key is None:
        return None
    return LabelExchange(
        kind=key.kind,
        label=key.label,
        action="replace" if old and new else "add" if new else "take-out",
        old=old.text if old else "",
        new=new.text if new else "",
        taken=old.count if old and old.kind in LASTING else 0,
        put=new.count if new else 0,
    )


def sheets_of_exchanged(handbook: Handbook, exchanges: Sequence[LabelExchange]) -> tuple[LabelSheet, ...]:
    """Return the label sheets to print: only what is put on, each as often as it is wanted."""
    wanted = {(each.kind, each.label): each.put for each in exchanges if each.put}
    return tuple(
        replace(sheet, labels=labels) for sheet in handbook.labels if (labels := tuple(_as_often(sheet, wanted)))
    )


def _as_often(sheet: LabelSheet, wanted: Mapping[tuple[str, str], int]) -> Iterator[Label]:
    for id_, label in _once(sheet).items():
        yield from (label for _ in range(wanted.get((sheet.kind, id_), 0)))
