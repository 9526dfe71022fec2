"""Questions as a small sheet to fill in, and the answers in it: one line a question, the last column for the answer."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

from kitdocs.importing.choosing import choices_listed, chosen, listed_choice
from kitdocs.importing.found import About, Doubt, as_about
from kitdocs.importing.grids import Grid, UnreadableError, read_grids
from kitdocs.practice.message import Message, message
from kitdocs.publish.tables import as_it_was

#: The first column says what an answer is about, for kitdocs alone; the last two are the suggestion and the answer.
_KEY, _COLUMNS = "kitdocs", 6
#: Answers that take what is suggested.
YES = frozenset(("y", "yes", "s", "si", "sí", "o", "oui", "j", "ja", "ok", "x", "="))


def sheet_rows(
    doubts: Iterable[Doubt], say: Callable[[Message | str], str], answers: Mapping[About, str] = MappingProxyType({})
) -> list[list[str]]:
    """Return the lines of the sheet, the headings first. `say` says messages in a language.

    `answers` are those that were given and not understood; they stay in the sheet, with the reason above the question.
    """
    head = [
        _KEY,
        *(say(message(f"import.sheet.{name}")) for name in ("question", "where", "choices", "suggested", "answer")),
    ]
    rows = [head]
    for doubt in doubts:
        given = answers.get(as_about(*doubt.about), "")
        refused = doubt.refuses(given) if given else None
        not_taken = [say(message("import.refused.not-taken", why=say(why))) for why in refused.why] if refused else []
        why = f" ({say(doubt.why)})" if doubt.why else ""
        choices = "; ".join(listed_choice(value, say(meaning)) for value, meaning in doubt.choices.items())
        where = ", ".join(doubt.sources[:4])
        rows.append(
            [
                json.dumps(doubt.about),
                "\n".join([*not_taken, say(doubt.asked) + why]),
                where,
                choices,
                doubt.suggested,
                given,
            ]
        )
    return rows


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetAnswers:
    """What was filled in. `spoilt` are the rows whose first column no longer says what the answer is about."""

    answers: Mapping[About, str]
    spoilt: tuple[str, ...]


def answers_in(file: Path) -> SheetAnswers:
    """Return the answers that were filled in; what was left empty is no answer. Raises `UnreadableError`.

    A yes (`y`, `sí`, `ok`, `x`) takes what is suggested; a choice may be written as it is or by what it means.
    """
    grids = [grid for grid in read_grids(file) if _is_sheet(grid)]
    if not grids:
        raise UnreadableError("no-answers", file=file.name)
    found: dict[About, str] = {}
    spoilt: list[str] = []
    for grid in grids:
        for row in grid.rows[1:]:
            key, *_, choices, suggested, answer = [as_it_was(cell.text) for cell in row[:_COLUMNS]]
            if not answer:
                continue
            if about := _about(key):
                yes = answer.casefold() in YES and suggested
                found[about] = suggested if yes else chosen(answer, choices_listed(choices), whole=True) or answer
            else:
                spoilt.append(f"{grid.name}, {row[0].row}")
    return SheetAnswers(answers=found, spoilt=tuple(spoilt))


def _is_sheet(grid: Grid) -> bool:
    return bool(grid.rows) and grid.rows[0][0].text == _KEY and len(grid.rows[0]) >= _COLUMNS


def _about(key: str) -> About | None:
    try:
        parts = json.loads(key)
    except ValueError:
        return None
    return as_about(*map(str, parts)) if isinstance(parts, list) else None
