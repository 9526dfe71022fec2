"""Problems of a practice folder, for a terminal and as JSON."""

from __future__ import annotations

import json
from collections.abc import Sequence

from rich.console import Console

from kitdocs.practice.model import Practice
from kitdocs.practice.problems import Problem


def show_problems(console: Console, problems: Sequence[Problem]) -> None:
    """Print each problem with its place, the line, a caret and a remedy."""
    for problem in problems:
        place, *rest = str(problem).split("\n")
        console.print(
            place, style="dim" if problem.accepted else _STYLE[problem.severity], markup=False, soft_wrap=True
        )
        if rest:
            console.print("\n".join(rest), markup=False, soft_wrap=True)


def has_errors(problems: Sequence[Problem]) -> bool:
    """Return whether anything keeps the handbook from being made."""
    return any(problem.severity == "error" for problem in problems)


def summary(practice: Practice | None, problems: Sequence[Problem]) -> str:
    """Return one line: the size of the practice, and how many problems it has."""
    errors = sum(problem.severity == "error" for problem in problems)
    accepted = sum(bool(problem.accepted) for problem in problems)
    warnings = len(problems) - errors - accepted
    counts = [_counted(errors, "error"), _counted(warnings, "warning"), _counted(accepted, "accepted warning")]
    said = ", ".join(count for count in counts if count) or "no problems"
    if practice is None:
        return said
    return (
        f"{practice.settings.name}: {_counted(len(practice.chairs), 'chair')}, "
        f"{_counted(len(practice.procedures), 'procedure')}, {_counted(len(practice.sets), 'set')}, "
        f"{_counted(len(practice.pouches), 'pouch', 'pouches') or 'no pouches'}; {said}"
    )


def problems_json(problems: Sequence[Problem]) -> str:
    """Return the problems as a JSON document."""
    return json.dumps({"problems": plain_problems(problems)}, ensure_ascii=False, indent=1)


def error_json(message: str) -> str:
    """Return an error that is not about the folder as a JSON document."""
    return json.dumps({"problems": [], "error": message}, ensure_ascii=False, indent=1)


def plain_problems(problems: Sequence[Problem]) -> list[dict[str, object]]:
    """Return the problems as plain mappings. Line and column count from 1."""
    return [
        {
            "rule": problem.rule,
            "severity": problem.severity,
            "file": problem.place.file,
            "line": problem.place.line,
            "column": problem.place.column,
            "path": problem.path,
            "message": str(problem.message),
            "remedy": str(problem.remedy),
            "accepted": problem.accepted and problem.accepted.in_language("en"),
        }
        for problem in problems
    ]


_STYLE = {"error": "bold red", "warning": "bold yellow"}


def _counted(number: int, one: str, many: str = "") -> str:
    return f"{number} {one if number == 1 else many or one + 's'}" if number else ""
