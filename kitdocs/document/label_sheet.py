"""Labels as plain data: the words on each, and the grid of the label sheet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from kitdocs.document.blocks import Picture
from kitdocs.document.purpose import Words

LabelKind: TypeAlias = Literal["chair-tag", "cassette-mark", "end-label", "pouch-label", "place-label", "repair-tag"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """One label. `word` is a code or a colour's name; `note` stands below the name.

    `id` is of what it labels, `on` that of the cassette that carries it. `lines` are to write on, `boxes` and `checks`
    to tick. `colour` and `ink` are sRGB as ``#00766c``. `outlined`: too pale to stand against white paper.
    """

    id: str = ""
    on: str = ""
    word: Words[str] = ""
    name: Words[str] = ""
    note: Words[str] = ""
    colour: str = "#ffffff"
    ink: str = "#000000"
    outlined: bool = False
    mark: Picture | None = None
    lines: Words[tuple[str, ...]] = ()
    boxes: Words[tuple[str, ...]] = ()
    checks: Words[tuple[str, ...]] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelGrid:
    """Positions of labels on a sheet, in mm from its upper left corner; `across_mm`, `down_mm` lead to the next one.

    `right_mm` and `lower_mm` correct the printer: everything is printed that much farther right and down. `cut`: plain
    paper with crop marks.
    """

    columns: int
    rows: int
    width_mm: float
    height_mm: float
    left_mm: float
    top_mm: float
    across_mm: float
    down_mm: float
    right_mm: float = 0.0
    lower_mm: float = 0.0
    cut: bool = False

    @property
    def places(self) -> int:
        return self.columns * self.rows


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelSheet:
    """All labels of one kind, enough for whole sheets. `notes` say on what to print them, then what else to mind.

    `wanted` is how many there should be of each, by id.
    """

    kind: LabelKind
    title: Words[str]
    notes: Words[tuple[str, ...]]
    grid: LabelGrid
    labels: tuple[Label, ...]
    wanted: Mapping[str, int] = field(default_factory=dict, compare=False)
