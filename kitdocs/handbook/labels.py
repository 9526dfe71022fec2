"""Labels and tags for chairs, cassettes, wrapped sets, pouches, places of the store and instruments sent for repair.

A pack's label: CDC, Packaging and Storage (2016) - sterilizer used, cycle or load number, date, and the expiration date
where there is one; Guidelines 2003, MMWR 52(RR-17), part VI.G. The initials are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from kitdocs.document.label_sheet import Label, LabelGrid, LabelKind, LabelSheet
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.chairs import chair_band, chair_look
from kitdocs.handbook.cards.places import kept_at_place, place_name
from kitdocs.handbook.pictures import set_mark_of
from kitdocs.handbook.rules.quote import rule_text
from kitdocs.practice.paper import PAPER_MM
from kitdocs.practice.store_places import store_places

#: Labels cut from plain paper: columns, rows, width and height in mm. They leave room for crop marks on A4 and Letter.
_PLAIN = (3, 8, 62.0, 31.0)
_PLAIN_TAG = (2, 4, 95.0, 62.0)

#: How far above the middle of the sheet they are (mm), to make room for the ruler.
_RAISED = 5.0

#: Smallest repair tag that has room for its tick boxes (mm).
_TAG_MM = (90.0, 58.0)

#: One tag for the drawer of the chair, one for the place where its pouches are collected.
TAGS_A_CHAIR = 2

FAULTS = ("dull", "tips", "loose", "stiff", "bent", "corroded", "insert", "other")


def pack_lines(brief: Brief) -> tuple[str, ...]:
    """Return the lines to fill in on the label of every pack."""
    names = ["sterilizer", "load", "date"]
    if brief.practice.settings.expiration == "date":
        names.append("expires")
    return brief.words.each("labels.line", *names, "initials")


def label_sheets(brief: Brief) -> Iterator[LabelSheet]:
    """Yield every kind of label that the practice needs, in the order in which they are put up."""
    grid = _grid(brief)
    yield _sheet(
        brief, "chair-tag", grid, [(_chair_tag(brief, chair), TAGS_A_CHAIR) for chair in brief.practice.chairs]
    )
    own = {**brief.plan.days.stock, **brief.plan.days.pouch_stock}
    sets = [set_id for set_id in brief.practice.sets if own.get(set_id)]
    yield _sheet(brief, "cassette-mark", grid, [(_cassette_mark(brief, set_id), own[set_id]) for set_id in sets])
    lines = pack_lines(brief)
    yield _sheet(brief, "end-label", grid, [(_set_label(brief, set_id, lines), own[set_id]) for set_id in sets])
    packed = [
        (Label(id=pouch, word=record.code, name=brief.pouch(pouch), lines=lines), own[pouch])
        for pouch, record in brief.practice.pouches.items()
        if own.get(pouch)
    ]
    if packed:
        yield _sheet(brief, "pouch-label", grid, packed)
    places = list(_place_labels(brief))
    if places:
        yield _sheet(brief, "place-label", grid, [(label, 1) for label in places])
    roomy = grid.width_mm >= _TAG_MM[0] and grid.height_mm >= _TAG_MM[1]
    yield _sheet(brief, "repair-tag", grid if roomy else _plain(brief, _PLAIN_TAG), [(_repair_tag(brief), 1)])


def _sheet(brief: Brief, kind: LabelKind, grid: LabelGrid, wanted: Sequence[tuple[Label, int]]) -> LabelSheet:
    """Return a sheet with each label as often as wanted. Extra places on the last page are shared out in turn."""
    counts = [count for _, count in wanted]
    for extra in range(-sum(counts) % grid.places):
        counts[extra % len(counts)] += 1
    return LabelSheet(
        kind=kind,
        title=brief.words(f"labels.title.{kind}"),
        notes=tuple(_notes(brief, kind, grid)),
        grid=grid,
        labels=tuple(label for (label, _), count in zip(wanted, counts, strict=True) for _ in range(count)),
        wanted={label.id: count for label, count in wanted},
    )


#: What the notes on a sheet of labels quote.
_NOTED: Mapping[LabelKind, tuple[str, ...]] = MappingProxyType(
    {
        "end-label": ("label-load", "label-expiry"),
        "pouch-label": ("label-load", "label-expiry"),
        "repair-tag": ("damaged-order",),
    }
)


def _notes(brief: Brief, kind: LabelKind, grid: LabelGrid) -> Iterator[str]:
    """Yield what to mind about a sheet of labels, then the rules about them; the last ones may find no room on it."""
    yield brief.words(f"labels.note.{'plain' if grid.cut else kind}")
    yield from filter(None, (rule_text(brief, rule) for rule in _NOTED.get(kind, ())))


def _grid(brief: Brief) -> LabelGrid:
    """Return the practice's own label sheet, or plain paper to cut."""
    stated = brief.practice.settings.labels
    if stated is None:
        return _plain(brief, _PLAIN)
    across, down = stated.pitch_mm
    return LabelGrid(
        columns=stated.columns,
        rows=stated.rows,
        width_mm=stated.width,
        height_mm=stated.height,
        left_mm=stated.left,
        top_mm=stated.top,
        across_mm=across,
        down_mm=down,
        right_mm=stated.offset.right,
        lower_mm=stated.offset.down,
    )


def _plain(brief: Brief, size: tuple[int, int, float, float]) -> LabelGrid:
    columns, rows, width, height = size
    paper = PAPER_MM[brief.practice.settings.paper]
    return LabelGrid(
        columns=columns,
        rows=rows,
        width_mm=width,
        height_mm=height,
        left_mm=(paper[0] - columns * width) / 2,
        top_mm=(paper[1] - rows * height) / 2 - _RAISED,
        across_mm=width,
        down_mm=height,
        cut=True,
    )


def _chair_tag(brief: Brief, chair: str) -> Label:
    band = chair_band(brief, chair)
    return Label(
        id=chair,
        word=chair_look(brief, chair),
        name=brief.chair(chair),
        colour=band.colour,
        ink=band.ink,
        outlined=band.outlined,
        mark=band.mark,
    )


def _cassette_mark(brief: Brief, set_id: str) -> Label:
    """Return a mark that stays on the cassette, whatever lies in it."""
    return replace(_set_label(brief, set_id), on=brief.practice.sets[set_id].cassette)


def _set_label(brief: Brief, set_id: str, lines: tuple[str, ...] = ()) -> Label:
    code = brief.practice.sets[set_id].code
    return Label(id=set_id, word=code, name=brief.set(set_id), mark=set_mark_of(brief, set_id), lines=lines)


def _place_labels(brief: Brief) -> Iterator[Label]:
    """Yield a label for each place of the store: each kind of pack on a shelf, each drawer, each hook."""
    words, practice = brief.words, brief.practice
    for one in brief.plan.store:
        if one.place and one.place.kind == "shelf":
            record = practice.sets.get(one.id) or practice.pouches[one.id]
            mark = set_mark_of(brief, one.id) if one.id in practice.sets else None
            note = words("labels.place.packs", code=record.code, count=str(one.count))
            yield Label(id=f"{one.code} {one.id}", word=one.code, name=brief.pack(one.id), note=note, mark=mark)
    for place in store_places(practice.room):
        if place.kind == "drawer":
            note = words(f"card.storage.holds.{practice.room.drawers[place.id].holds}")
            yield Label(id=f"drawer {place.id}", word=place.code, name=place_name(brief, place), note=note)
        elif place.kind == "hook":
            kept = " · ".join(kept_at_place(brief, place))
            yield Label(id=f"hook {place.id}", word=place.code, name=place_name(brief, place), note=kept)


def _repair_tag(brief: Brief) -> Label:
    words = brief.words
    return Label(
        id="repair",
        word=words("labels.repair.word"),
        name=words("labels.repair.what"),
        lines=words.each("labels.repair.line", "instrument", "from", "date", "initials"),
        boxes=words.each("labels.repair.fault", *FAULTS),
        checks=words.each("labels.repair.check", "spare", "no-spare"),
    )
