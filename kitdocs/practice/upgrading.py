"""A practice folder's files rewritten in the newest format: comments, order and every other byte stay."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kitdocs.errors import KitdocsError, PublishError
from kitdocs.practice import formats
from kitdocs.practice.editing.edits import Edit, EditError, same
from kitdocs.practice.editing.nodes import nodes_of
from kitdocs.practice.editing.scalars import written_key
from kitdocs.practice.editing.yaml_text import replace_values
from kitdocs.practice.formats import KEY, OLDEST, STEM, FormatChange, KeyRenamed, format_of, newest, renamed
from kitdocs.practice.message import Message, message
from kitdocs.practice.problems import PracticeError, Problem
from kitdocs.practice.reading.text_file import read_text
from kitdocs.practice.reading.yaml_file import read_yaml
from kitdocs.practice.schema import WRITTEN, YAML_FILES
from kitdocs.practice.writing import write_whole

_BYTE_ORDER_MARK = "\ufeff"


@dataclass(frozen=True, slots=True, kw_only=True)
class Upgrade:
    """What an upgrade changes. `texts` are the files as they will be, by name; practice.yaml is the last."""

    before: int
    after: int
    news: tuple[Message, ...]
    texts: Mapping[str, str]
    comments: tuple[str, ...]
    """Comments that stand at what is taken out, and go with it."""


def upgrade(folder: Path) -> Upgrade:
    """Rewrite the files of a practice folder in the newest format; return what was changed, nothing where it was.

    Raises `PracticeError` where a file cannot be read or the folder is in a newer format, `KitdocsError` where a file
    is written so that only a person can change it, before anything is written, and `PublishError`.
    """
    texts = _texts(folder)
    found = _upgraded(texts)
    try:
        for (
            name,
            text,
        ) in found.texts.items():  # practice.yaml last: until it is written, the folder is in the old format
            mark = _BYTE_ORDER_MARK * (folder / name).read_bytes().startswith(_BYTE_ORDER_MARK.encode())
            write_whole((folder / name).resolve(), (mark + text).encode())
    except OSError as error:
        raise PublishError(f"could not write {error.filename}: {error.strerror or error}") from error
    return found


def _texts(folder: Path) -> dict[str, str]:
    texts: dict[str, str] = {}
    problems: list[Problem] = []
    for stem in (*YAML_FILES, *WRITTEN):
        if not (folder / f"{stem}.yaml").exists():
            continue
        source = read_text(folder, f"{stem}.yaml", (stem,))
        if isinstance(source, Problem):
            problems.append(source)
            continue
        texts[stem] = source.text
        read = read_yaml(source)
        problems += [problem for problem in read.problems if problem.severity == "error"]
        if stem == STEM and (problem := formats.unknown_format(read)):
            raise PracticeError([problem])
    if problems:
        raise PracticeError(problems)
    return texts


def _upgraded(texts: Mapping[str, str]) -> Upgrade:
    now, comments = dict(texts), list[str]()
    first = format_of(_data(texts.get(STEM, "")))
    steps = formats.STEPS[first - OLDEST :] if STEM in texts else ()
    for step in steps:
        for each in tuple(step.changes({stem: _data(text) for stem, text in now.items()})):
            _make(each, now, comments)
    if steps:
        number = Edit(path=(KEY,), value=newest(), after="name")
        now[STEM] = replace_values(now[STEM], [number]).text
    changed = [stem for stem in now if stem != STEM and now[stem] != texts[stem]]
    return Upgrade(
        before=first,
        after=newest(),
        news=tuple(message(step.news) for step in steps),
        texts={f"{stem}.yaml": now[stem] for stem in (*changed, *([STEM] if steps else ()))},
        comments=tuple(comments),
    )


def _data(text: str) -> Any:
    root = nodes_of(text)
    return root.data if root else None


def _make(each: FormatChange, texts: dict[str, str], comments: list[str]) -> None:
    if each.stem not in texts:
        return
    try:
        if isinstance(each.change, KeyRenamed):
            texts[each.stem] = _with_key(texts[each.stem], each.change)
        else:
            done = replace_values(texts[each.stem], [each.change])
            texts[each.stem] = done.text
            comments += done.comments
    except EditError as error:
        where = ".".join(map(str, (each.stem, *error.path)))
        raise KitdocsError(f"{where} is written so that kitdocs cannot change it; nothing was written") from error


def _with_key(text: str, change: KeyRenamed) -> str:
    root = nodes_of(text)
    holder = root.at(change.path[:-1]) if root else None
    key = next((key for key, _ in holder.entries if key.text == change.path[-1]), None) if holder else None
    if key is None or root is None:
        return text
    new = text[: key.start] + written_key(change.to, flow=key.flow) + text[key.end :]
    if not same(_data(new), renamed(root.data, change)):
        raise EditError(change.path)
    return new
