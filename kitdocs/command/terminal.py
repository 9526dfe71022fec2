"""Cards in a terminal: the blocks that a sheet and a page are made of, drawn as text as wide as the window.

Tables have rules between head and rows and nothing else, so that they read well where a terminal draws no lines; a
cell that is too long goes on in the next line and is never cut.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from rich import box
from rich.console import Console, ConsoleOptions, Group, RenderableType, RenderResult
from rich.padding import Padding
from rich.panel import Panel
from rich.rule import Rule
from rich.table import Column
from rich.table import Table as RichTable
from rich.text import Text

from kitdocs.document.blocks import (
    Band,
    Block,
    Caution,
    Cell,
    Chart,
    Code,
    Facts,
    FormGrid,
    Heading,
    Illustration,
    Items,
    Listing,
    Matrix,
    Paragraph,
    Prose,
    ProsePart,
    Steps,
)
from kitdocs.document.card import Card, Handbook

#: The blanks between two columns.
_BETWEEN = 3
#: A window of fewer columns holds no table; some programs say that theirs has none at all.
NARROWEST = 20


def console(*, stderr: bool = False) -> Console:
    """Where the command writes to, as wide as the window says."""
    made = Console(stderr=stderr, highlight=False)
    return made if made.width >= NARROWEST else Console(stderr=stderr, highlight=False, width=NARROWEST)


#: So many letters of a row's name stand on one line, as far as there is room for the longest words of the others.
_NAME = 18


@contextmanager
def trimmed(console: Console) -> Iterator[None]:
    """What is printed within has no blanks at the end of a line when it goes to a file or another program."""
    if console.is_terminal:
        yield
        return
    with console.capture() as held:
        yield
    console.file.writelines(f"{line.rstrip()}\n" for line in held.get().splitlines())


def say(console: Console, text: str) -> None:
    """Print a line as it is: nothing in it is markup, and a window breaks it, not we."""
    console.print(text, markup=False, soft_wrap=True)


def show_handbook(console: Console, handbook: Handbook, leave_out: Container[str] = ()) -> None:
    """Print the cards, section by section, without those of the ids in `leave_out`."""
    for section, every in handbook.sections:
        cards = [card for card in every if card.id not in leave_out]
        if not cards:
            continue
        console.print()
        console.print(Rule(Text(section, style="bold"), style="dim", align="left", characters=_line(console)))
        for card in cards:
            show_card(console, card)


def show_card(console: Console, card: Card) -> None:
    """Print a card's title and its blocks; pictures are left out, and what they show is said."""
    console.print()
    console.print(Text(card.title, style="bold underline" if console.is_terminal else "bold"))
    if card.subtitle:
        console.print(Text(card.subtitle, style="dim"))
    for block in card.blocks:
        drawn = drawn_block(block)
        if drawn is not None:
            console.print(Padding(drawn, (1, 0, 0, 0)))


def drawn_block(block: Block | ProsePart) -> RenderableType | None:
    """A block as something that rich can print; None when it is only a picture without words."""
    draw = _DRAW.get(type(block))
    return draw(block) if draw else None


def table(head: Iterable[str], numbers: Iterable[int] = ()) -> RichTable:
    """An empty table in the one style that kitdocs has; `numbers` are the columns set flush right."""
    right = set(numbers)
    columns = [
        Column(header=Text(name), justify="right" if n in right else "left", overflow="fold", vertical="top")
        for n, name in enumerate(head)
    ]
    return RichTable(
        *columns, box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False, padding=(0, 1), header_style="bold"
    )


def _line(console: Console) -> str:
    return "-" if console.options.ascii_only else "─"


def _matrix(matrix: Matrix) -> RenderableType:
    return _under(matrix.title, _Fitted(matrix))


@dataclass(frozen=True, slots=True)
class _Fitted:
    """A table as wide as the window lets it be."""

    matrix: Matrix

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        drawn = table(self.matrix.head, self.matrix.numbers)
        room = options.max_width - _BETWEEN * (len(self.matrix.head) - 1)
        for column, width in zip(drawn.columns, _widths(self.matrix, room), strict=True):
            column.width = width
        for row in self.matrix.rows:
            drawn.add_row(*(_cell(cell) for cell in row))
        yield drawn


def _widths(matrix: Matrix, room: int) -> list[int]:
    """The widths of the columns, together no wider than `room`: as wide as their lines, if all can be.

    Else a column is as wide as its longest word, as far as there is room for all of them, and what is left is shared
    out by what each still lacks.
    """
    lines = [_lines_of(matrix, n) for n in range(len(matrix.head))]
    full = [max(map(len, of), default=1) for of in lines]
    if sum(full) <= room:
        return full
    words = [max((len(word) for line in of for word in line.split()), default=1) for of in lines]
    words[0] = max(words[0], min(full[0], _NAME))  # the first column names the row: a short name is not broken
    most = next((most for most in range(max(words), 0, -1) if sum(min(most, w) for w in words) <= room), 1)
    least = [max(1, min(most, w)) for w in words]
    left, lacking = max(0, room - sum(least)), sum(full) - sum(least)
    return [has + left * (wants - has) // max(1, lacking) for has, wants in zip(least, full, strict=True)]


def _lines_of(matrix: Matrix, column: int) -> list[str]:
    cells = [row[column] for row in matrix.rows if column < len(row)]
    return [matrix.head[column], *(text for cell in cells for text in (cell.text, cell.detail))]


def _cell(cell: Cell) -> Text:
    text = Text(cell.text)
    if cell.detail:
        text.append("\n" if cell.text else "").append(cell.detail, style="dim")
    return text


def _facts(facts: Facts) -> RenderableType:
    grid = RichTable.grid(padding=(0, 2, 0, 0))
    grid.add_column(min_width=8, max_width=34, overflow="fold")
    grid.add_column(overflow="fold")
    for fact in facts.facts:
        grid.add_row(Text(fact.label, style="dim"), Text(fact.value))
    return _under(facts.title, grid)


def _items(items: Items) -> RenderableType:
    grid = RichTable.grid(padding=(0, 2, 0, 0))
    grid.add_column(justify="right")
    grid.add_column(overflow="fold")
    for item in items.items:
        count = item.number if item.number is not None else item.count
        words = Text(item.name)
        for more in (item.detail, item.note):
            words.append(f"\n{more}" if more else "", style="dim")
        grid.add_row(Text("-" if count is None else str(count)), words)
    return _under(items.title, grid)


def _steps(steps: Steps) -> RenderableType:
    return _under(steps.title, _numbered((Text(step.text) for step in steps.steps), steps.numbered))


def _numbered(entries: Iterable[RenderableType], ordered: bool) -> RenderableType:
    grid = RichTable.grid(padding=(0, 1, 0, 0))
    grid.add_column(justify="right")
    grid.add_column(overflow="fold")
    for number, entry in enumerate(entries, 1):
        grid.add_row(Text(f"{number}." if ordered else "-"), entry)
    return grid


def _caution(caution: Caution) -> RenderableType:
    words = Text(caution.text)
    title = Text(caution.title or "Caution", style="bold yellow")
    return Panel(words, title=title, title_align="left", box=box.ROUNDED, border_style="yellow")


def _chart(chart: Chart) -> RenderableType:
    """The sentence that says what the chart shows, and its numbers."""
    parts: list[RenderableType] = [Text(chart.summary)]
    if chart.table is not None:
        parts.append(_matrix(chart.table))
    return _under(chart.title, Group(*parts))


def _prose(prose: Prose) -> RenderableType:
    return Group(*_spaced(part for part in map(drawn_block, prose.parts) if part is not None))


def _spaced(parts: Iterable[RenderableType]) -> Iterator[RenderableType]:
    for n, part in enumerate(parts):
        yield Padding(part, (1 if n else 0, 0, 0, 0))


def _paragraph(paragraph: Paragraph) -> Text:
    text = Text()
    for span in paragraph.spans:
        style = " ".join(word for word, is_so in (("bold", span.strong), ("italic", span.emphasis)) if is_so)
        text.append(span.text, style=style)
    return text


def _listing(listing: Listing) -> RenderableType:
    entries = (Group(*(part for part in map(drawn_block, item) if part is not None)) for item in listing.items)
    return _numbered(entries, listing.ordered)


def _heading(heading: Heading) -> Text:
    return Text(heading.text, style="bold")


def _band(band: Band) -> Text:
    return Text(" · ".join(part for part in (band.word, band.name, band.note) if part), style="bold")


def _illustration(picture: Illustration) -> RenderableType | None:
    words = picture.caption or picture.picture.alt
    return Text(words, style="dim") if words else None


def _form(form: FormGrid) -> RenderableType:
    return _under(form.title, Text(", ".join((*form.fields, *form.columns)), style="dim"))


def _code(code: Code) -> Text:
    return Text(" ".join(part for part in (code.address, code.edition) if part))


def _under(title: str, drawn: RenderableType) -> RenderableType:
    return Group(Text(title, style="bold"), drawn) if title else drawn


_DRAW: dict[type, Callable[[Any], RenderableType | None]] = {
    Band: _band,
    Caution: _caution,
    Chart: _chart,
    Code: _code,
    Facts: _facts,
    FormGrid: _form,
    Heading: _heading,
    Illustration: _illustration,
    Items: _items,
    Listing: _listing,
    Matrix: _matrix,
    Paragraph: _paragraph,
    Prose: _prose,
    Steps: _steps,
}
