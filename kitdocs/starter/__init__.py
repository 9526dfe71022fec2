"""A new practice folder: small, valid, and commented so that it teaches the format."""

from __future__ import annotations

import json
import re
import tempfile
from collections.abc import Collection, Mapping, Sequence
from pathlib import Path
from typing import Literal, TypeAlias

import yaml

from kitdocs.practice.problems import KitdocsError
from kitdocs.practice.schema import schemas

_FOLDER = Path(__file__).parent / "folder"
#: What differs in a practice of another kind: whole records, and lines of other files. All are invented; what is true
#: of the trade in them is common practice, no source.
_LIKE = Path(__file__).parent / "like"

_CHANGES = "changes.yaml"
#: Comments and blank lines at the beginning of a file.
_TAUGHT = re.compile(r"(?:#.*\n|\n)*")

#: The kinds of practice that a new folder can be like: two chairs; eight; children's dentistry; minor oral surgery.
Like: TypeAlias = Literal["ortho-small", "ortho-large", "pedodontic", "surgery"]


def start(folder: str | Path, like: Like = "ortho-small") -> tuple[Path, ...]:
    """Write a new practice folder, like a practice of that kind; the files written, sorted.

    Raises `KitdocsError`, and writes nothing, when `folder` already holds something or cannot be written.
    """
    return write_new(Path(folder), starter_texts(like))


def write_new(folder: Path, texts: Mapping[str, bytes], beside: Collection[str] = ()) -> tuple[Path, ...]:
    """Write a new folder with these files, by their path in it, all or none; the files written, sorted.

    Raises `KitdocsError`, and writes nothing, when `folder` already holds something, other than what stays `beside`
    the files, or cannot be written.
    """
    try:
        if folder.is_symlink() and not folder.exists():
            raise KitdocsError(f"{folder} is a link to nowhere; name a new folder")
        if folder.exists() and (not folder.is_dir() or {path.name for path in folder.iterdir()} - {*beside}):
            raise KitdocsError(f"{folder} already exists and is not empty; name a new folder")
        if folder.exists():
            _fill(folder, texts)
        else:
            _create(folder, texts)
        return tuple(sorted(path for path in folder.rglob("*") if path.is_file()))
    except OSError as error:
        raise KitdocsError(f"{folder} cannot be written: {error.strerror or error}") from error


def schema_files() -> Mapping[str, str]:
    """Return the text of each JSON Schema file, by the path that the first lines of the YAML files name."""
    return {
        f"schemas/{file.removesuffix('.yaml')}.schema.json": json.dumps(schema, indent=2, ensure_ascii=False) + "\n"
        for file, schema in schemas().items()
    }


def _create(folder: Path, texts: Mapping[str, bytes]) -> None:
    """Written beside its place and moved there in one step: a run cut short leaves no half a folder."""
    folder.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix=f".{folder.name}-", dir=folder.parent) as beside:
        ready = Path(beside) / "folder"
        _write(ready, texts)
        ready.rename(folder)


def _fill(folder: Path, texts: Mapping[str, bytes]) -> None:
    """The folder stays what it is: somebody may be standing in it, or it may be a disk of its own."""
    with tempfile.TemporaryDirectory(prefix=".new-", dir=folder) as inside:
        ready = Path(inside) / "folder"
        _write(ready, texts)
        names = sorted(item.name for item in ready.iterdir())
        try:
            for name in names:
                (ready / name).rename(folder / name)
        except OSError:
            for name in names:
                if (folder / name).exists():
                    (folder / name).rename(ready / name)
            raise


def starter_texts(like: Like = "ortho-small") -> Mapping[str, bytes]:
    """Return the files of a new practice folder by their path in it, and the schemas that they name."""
    texts = {
        source.relative_to(_FOLDER).as_posix(): source.read_bytes()
        for source in sorted(_FOLDER.rglob("*"))
        if source.is_file()
    }
    other = {} if like == "ortho-small" else _other_texts(_LIKE / like, texts)
    return {**texts, **other, **{name: text.encode() for name, text in schema_files().items()}}


def _other_texts(folder: Path, texts: Mapping[str, bytes]) -> Mapping[str, bytes]:
    """Return the files that differ: other records below the comments that teach the format, and other lines."""
    found = {}
    for source in sorted(folder.iterdir()):
        text = source.read_text("utf-8")
        if source.name == _CHANGES:
            for name, lines in yaml.safe_load(text).items():
                found[name] = _changed(texts[name].decode(), lines).encode()
        else:
            taught = _TAUGHT.match(texts[source.name].decode())
            found[source.name] = f"{taught[0] if taught else ''}{text}".encode()
    return found


def _changed(text: str, lines: Sequence[tuple[str, str]]) -> str:
    for old, new in lines:
        if text.count(old) != 1:
            raise ValueError(f"{old!r} does not stand in the small practice exactly once")
        text = text.replace(old, new)
    return text


def _write(folder: Path, texts: Mapping[str, bytes]) -> None:
    """A fresh copy of every file, with the permissions that new files get here."""
    for name, text in texts.items():
        target = folder / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(text)
