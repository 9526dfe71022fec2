"""Problems of a practice folder, as values; and the one exception that carries them."""

from __future__ import annotations

import difflib
import itertools
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any, Literal

from kitdocs.errors import KitdocsError as KitdocsError  # noqa: PLC0414 - mypy wants re-exports said twice
from kitdocs.errors import PublishError as PublishError  # noqa: PLC0414 - mypy wants re-exports said twice
from kitdocs.errors import TargetError as TargetError  # noqa: PLC0414 - mypy wants re-exports said twice
from kitdocs.practice.locations import Path, SourceLocation
from kitdocs.practice.message import Message, message
from kitdocs.practice.sentences import error_sentences
from kitdocs.practice.values import Text

Severity = Literal["error", "warning"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One thing that is wrong, where it was written, and what would mend it.

    An *error* keeps the handbook from being published; a *warning* is reported with it.
    `accepted` holds the reason written in practice.yaml when somebody has accepted a warning.
    """

    rule: str
    severity: Severity
    place: SourceLocation
    path: str
    message: Message | str
    """A text, in English, where only who writes the folder reads it; a message where the report tells it too."""
    remedy: Message | str = ""
    accepted: Text | None = None

    @property
    def pointed_at(self) -> tuple[str, ...]:
        """The line of its place, shortened around it when it is long, and a caret below; nothing for an empty line."""
        return _pointed_at(self.place) if self.place.text.strip() else ()

    def __str__(self) -> str:
        warning = f"warning ({self.rule}): " if self.severity == "warning" else ""
        lines = [f"{self.place}: {self.path}: {warning}{self.message}"]
        lines += [f"    {line}" for line in self.pointed_at]
        if self.place.also:
            lines.append(f"    {message('problems.put-together', also=self.place.also)}")
        if self.remedy:
            lines.append(f"    {self.remedy}")
        if self.accepted:
            lines.append(f"    accepted: {self.accepted.in_language('en')}")
        return "\n".join(lines)


def _pointed_at(place: SourceLocation) -> tuple[str, str]:
    start = max(0, place.column - 80) if len(place.text) > 160 else 0
    text = place.text[start : start + 160]
    cut = "..." if start else ""
    # A tab stays a tab below the line, so that the caret stands under its letter.
    text = re.sub("[\x00-\x08\x0b-\x1f\x7f-\x9f\u200b-\u200f\u202a-\u202e\u2060-\u206f]", "\ufffd", text)
    before = "".join("\t" if c == "\t" else " " for c in cut + text[: place.column - 1 - start])
    rest = "..." if start + 160 < len(place.text) else ""
    return f"{cut}{text}{rest}", f"{before}^"


def problem_at(
    place: SourceLocation,
    path: Path,
    name: str,
    /,
    *,
    severity: Severity = "error",
    remedy: str = "remedy",
    **values: Any,
) -> Problem:
    """Return a problem that only who writes the folder reads; its rule is what stands before the dot of its `name`.

    Its sentences stand under that name in ``words/errors.yaml``; `remedy` tells which remedy of several.
    """
    said = error_sentences()
    return Problem(
        rule=name.partition(".")[0],
        severity=severity,
        place=place,
        path=written(path),
        message=said[f"{name}.message"].format(**values),
        remedy=said.get(f"{name}.{remedy}", "").format(**values),
    )


class PracticeError(KitdocsError):
    """The practice folder cannot be published as it is. `problems` lists everything, sorted by place."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = in_order(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


def in_order(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """The problems sorted by place, each once."""
    return tuple(sorted(dict.fromkeys(problems), key=lambda p: (p.place, p.path, p.rule, str(p.message))))


def new_problems(before: Iterable[Problem], after: Iterable[Problem]) -> list[Problem]:
    """Return the problems `after` a change that were not there `before`, wherever they stood; not those accepted."""
    known = {(problem.rule, problem.path, str(problem.message)) for problem in before}
    return [p for p in after if not p.accepted and (p.rule, p.path, str(p.message)) not in known]


#: Of one kind, or in one file, no more problems than this are listed: nobody reads on.
MOST = 200


def at_most(problems: Iterable[Problem]) -> list[Problem]:
    """The problems, the first `MOST` of them at most; the next one only says that there are more, never worked out."""
    found = list(itertools.islice(problems, MOST + 1))
    if len(found) > MOST:
        more = message("problems.more.message")
        found[MOST] = replace(found[MOST], rule="more", message=more, remedy=message("problems.more.remedy"))
    return found


def written(path: Path) -> str:
    """A path as people read it: ``sets.core.contents[3]``, counting from 1 as the places on a template do."""
    text = ""
    for part in path:
        text += f"[{part + 1}]" if isinstance(part, int) else f".{part}" if text else part
    return text


def path_of(text: str) -> Path:
    """``sets.core.contents[3]`` as a path; the opposite of `written`."""
    parts = re.findall(r"[^.\[\]]+|\[\d{1,6}\]", text)
    return tuple(int(part[1:-1]) - 1 if part[0] == "[" else part for part in parts)


def by_name(word: str, called: Mapping[str, str]) -> str:
    """Return which of the things that are `called` something is called `word`, or nearly so; else nothing."""
    name = " ".join(word.replace("-", " ").casefold().split())
    if name in called or len(called) > MOST_CHOICES:
        return called.get(name, "")
    close = difflib.get_close_matches(name, called, n=1, cutoff=0.85)
    return called[close[0]] if close else ""


#: So many words are few: they are all named where none is near.
LISTED = 12
#: Among more words than these, no near one is looked for: that would take seconds.
MOST_CHOICES = 5000


def nearest(word: str, known: Iterable[str], called: Mapping[str, str] = MappingProxyType({})) -> str:
    """Return, in English, what `near` does."""
    return str(near(word, known, called))


def near(word: str, known: Iterable[str], called: Mapping[str, str] = MappingProxyType({})) -> Message | str:
    """Return a remedy that names the nearest of the known words, or lists them when they are few; else nothing.

    `called` are the words by what people call the same things: ``{"mouth mirror": "mirror"}``.
    """
    if meant := by_name(word, called):
        return message("problems.nearest", word=meant)
    choices: Sequence[str] = sorted(set(known))
    if len(choices) > MOST_CHOICES:
        return ""
    close = difflib.get_close_matches(word, choices, n=1, cutoff=0.6)
    if close:
        return message("problems.nearest", word=close[0])
    if choices and len(choices) <= LISTED:
        return message("problems.choose", words=", ".join(choices))
    return ""
