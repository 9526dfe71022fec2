"""Cards in a terminal, drawn from their blocks as text as wide as the window.

Tables have a rule below their head and nothing else, so that they read well where a terminal draws no lines. A long
cell wraps and is never cut.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator
from functools import singledispatch

from rich import box
from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.panel import Panel
from rich.rule import Rule
from rich.table import Column
from rich.table import Table as RichTable
from rich.text import Text

from kitdocs.document.blocks import (
    Caution,
    Cell,
    Chart,
    Facts,
    Heading,
    Items,
    Listing,
    Matrix,
    Paragraph,
    Prose,
    Sample,
    Steps,
)
from kitdocs.document.card import Card, Handbook
from kitdocs.document.walk import pictures_in, text_of, title_of, words_in


def show_handbook(console: Console, handbook: Handbook, leave_out: Container[str] = ()) -> None:
    """Print the cards, section by section, without those of the ids in `leave_out`."""
    line = "-" if console.options.ascii_only else "─"
    for section, every in handbook.sections:
        cards = [card for card in every if card.id not in leave_out]
        if not cards:
            continue
        console.print()
        console.print(Rule(Text(section, style="bold"), style="dim", align="left", characters=line))
        for card in cards:
            show_card(console, card)


def show_card(console: Console, card: Card) -> None:
    """Print a card's title and its blocks, with words for its pictures."""
    console.print()
    console.print(Text(card.title, style="bold underline" if console.is_terminal else "bold"))
    if card.subtitle:
        console.print(Text(card.subtitle, style="dim"))
    for block in card.blocks:
        drawn = drawn_block(block)
        if drawn is not None:
            console.print(Padding(drawn, (1, 0, 0, 0)))


@singledispatch
def drawn_block(block: object) -> RenderableType | None:
    """Return a block as something that rich can print; None for a block without words.

    A kind that is not registered below shows its title and its words, or else the words for its pictures.
    """
    words = text_of(block) or " · ".join(filter(None, (picture.alt for picture in pictures_in(block))))
    return _under(title_of(block), Text(words)) if words else None


def table(head: Iterable[str], numbers: Iterable[int] = ()) -> RichTable:
    """Return an empty table in the style of kitdocs; `numbers` are the columns set flush right."""
    right = set(numbers)
    columns = [
        Column(header=Text(name), justify="right" if n in right else "left", overflow="fold", vertical="top")
        for n, name in enumerate(head)
    ]
    return RichTable(
        *columns, box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False, padding=(0, 1), header_style="bold"
    )


@drawn_block.register
def _matrix(matrix: Matrix) -> RenderableType:
    drawn = table(matrix.head, matrix.numbers)
    for row in matrix.rows:
        drawn.add_row(*map(_cell, row))
    return _under(matrix.title, drawn)


def _cell(cell: Cell) -> Text:
    text = Text(cell.text)
    if cell.detail:
        text.append("\n" if cell.text else "").append(cell.detail, style="dim")
    return text


@drawn_block.register
def _facts(facts: Facts) -> RenderableType:
    grid = RichTable.grid(padding=(0, 2, 0, 0))
    grid.add_column(min_width=8, max_width=34, overflow="fold")
    grid.add_column(overflow="fold")
    for fact in facts.facts:
        grid.add_row(Text(fact.label, style="dim"), Text(fact.value))
    return _under(facts.title, grid)


@drawn_block.register
def _items(items: Items) -> RenderableType:
    grid = RichTable.grid(padding=(0, 2, 0, 0))
    grid.add_column(justify="right")
    grid.add_column(overflow="fold")
    for item in items.items:
        count = item.number if item.number is not None else item.count
        words = Text(item.name)
        for more in (item.stands, item.detail, "".join(words_in(item.where)), item.note):
            words.append(f"\n{more}" if more else "", style="dim")
        grid.add_row(Text("-" if count is None else str(count)), words)
    return _under(items.title, grid)


@drawn_block.register
def _steps(steps: Steps) -> RenderableType:
    entries = (Text("\n".join((step.text, *step.choices))) for step in steps.steps)
    after = (Text(line) for line in (steps.also, steps.done) if line)
    return _under(steps.title, Group(_numbered(entries, steps.numbered), *after))


def _numbered(entries: Iterable[RenderableType], ordered: bool) -> RenderableType:
    grid = RichTable.grid(padding=(0, 1, 0, 0))
    grid.add_column(justify="right")
    grid.add_column(overflow="fold")
    for number, entry in enumerate(entries, 1):
        grid.add_row(Text(f"{number}." if ordered else "-"), entry)
    return grid


@drawn_block.register
def _caution(caution: Caution) -> RenderableType:
    words = Text(caution.text)
    title = Text(caution.title or "!", style="bold yellow")
    return Panel(words, title=title, title_align="left", box=box.ROUNDED, border_style="yellow")


@drawn_block.register
def _chart(chart: Chart) -> RenderableType:
    parts: list[RenderableType] = [Text(chart.summary)]
    if chart.table is not None:
        parts.append(_matrix(chart.table))
    return _under(chart.title, Group(*parts))


@drawn_block.register
def _prose(prose: Prose) -> RenderableType:
    return Group(*_spaced(part for part in map(drawn_block, prose.parts) if part is not None))


def _spaced(parts: Iterable[RenderableType]) -> Iterator[RenderableType]:
    for n, part in enumerate(parts):
        yield Padding(part, (1 if n else 0, 0, 0, 0))


@drawn_block.register
def _paragraph(paragraph: Paragraph) -> Text:
    text = Text()
    for span in paragraph.spans:
        style = " ".join(word for word, is_so in (("bold", span.strong), ("italic", span.emphasis)) if is_so)
        text.append(span.text, style=style)
    return text


@drawn_block.register
def _sample(sample: Sample) -> RenderableType:
    return Padding(Text(sample.text), (0, 0, 0, 4))


@drawn_block.register
def _listing(listing: Listing) -> RenderableType:
    entries = (Group(*(part for part in map(drawn_block, item) if part is not None)) for item in listing.items)
    return _numbered(entries, listing.ordered)


@drawn_block.register
def _heading(heading: Heading) -> Text:
    return Text(heading.text, style="bold")


def _under(title: str, drawn: RenderableType) -> RenderableType:
    return Group(Text(title, style="bold"), drawn) if title else drawn
