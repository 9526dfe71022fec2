"""Each command with its arguments and options, as the command line's own parser knows them."""

from __future__ import annotations

import inspect
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kitdocs.document.blocks import Block, Prose
from kitdocs.handbook.layout import table
from kitdocs.handbook.prose import prose


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldOption:
    """An argument or option: how it is written, and what it does."""

    written: str
    does: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldCommand:
    """A command as its ``--help`` tells it. `usage` is how it is called."""

    name: str
    usage: str
    does: str
    arguments: Sequence[ToldOption]
    options: Sequence[ToldOption]


def command_blocks(command: ToldCommand, written: Prose) -> Iterator[Block]:
    """Yield how a command is called and what it does, what is `written` of it, its arguments and its options."""
    yield Prose(parts=prose(f"```\n{command.usage}\n```\n\n{inspect.cleandoc(command.does)}\n"))
    yield written
    for title, told in (("Arguments", command.arguments), ("Options", command.options)):
        if told:
            yield table(title, (title[:-1], "What it does"), [(one.written, one.does) for one in told])
