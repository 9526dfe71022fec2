"""A workbook brought back: its edits, the files as they would be, and a folder to check before anything is written."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from kitdocs.errors import KitdocsError
from kitdocs.practice.locations import Path as ValuePath
from kitdocs.practice.locations import SourceLocation, SourceLocations
from kitdocs.practice.message import Message
from kitdocs.practice.reading.common import common_folder
from kitdocs.practice.reading.folder import read_folder
from kitdocs.practice.writing import write_whole
from kitdocs.workbook.comparing import BookEdit, BookProblem, compare
from kitdocs.workbook.merging import merge
from kitdocs.workbook.returned import read_back
from kitdocs.workbook.texts import file_of, read_texts

_BYTE_ORDER_MARK = "\ufeff"


class MovedError(KitdocsError):
    """A file of the folder was changed while the workbook was read; `file` is its name. Nothing was written."""

    def __init__(self, file: str) -> None:
        self.file = file
        super().__init__(f"{file} was changed meanwhile")


@dataclass(frozen=True, slots=True, kw_only=True)
class BroughtBack:
    """Everything that a workbook would change in a folder. With any of `problems`, nothing may be written."""

    folder: Path
    edits: Sequence[BookEdit]
    problems: Sequence[BookProblem]
    told: Sequence[Message]
    texts: Mapping[str, str]
    """The files that change, by stem, as they would be."""
    comments: Mapping[str, Sequence[str]]
    """Comments that go with what is taken out, by stem."""
    cells: Mapping[ValuePath, str]
    places: SourceLocations
    now: Mapping[str, str]
    made_of: Mapping[str, str]
    """The files that the workbook was made from, by stem."""

    def place(self, edit: BookEdit) -> SourceLocation:
        """Return where the value stands in the folder, or where what it belongs to does."""
        return self.places.value(*(edit.path if not edit.after else (*edit.path[:-1], edit.after)))

    @contextmanager
    def would_be(self) -> Iterator[Path]:
        """Yield a folder as the practice folder would be, in a place for passing things."""
        with tempfile.TemporaryDirectory(prefix="kitdocs-") as place:
            copy = Path(place) / "practice"
            shutil.copytree(
                self.folder, copy, symlinks=True, copy_function=_linked, ignore=shutil.ignore_patterns(".*")
            )
            for stem, text in self.texts.items():
                with suppress(FileNotFoundError):
                    (copy / file_of(stem)).unlink()  # it is the same file as that of the folder
                (copy / file_of(stem)).write_bytes(self._bytes(stem, text))
            if shared := common_folder(self.folder):
                shutil.copytree(shared, copy.with_name(shared.name))
            yield copy

    def write(self) -> list[str]:
        """Write the files that change, each whole or not at all; return their names.

        Raises `MovedError`, before anything is written, when one was changed since it was read, `OSError` when one
        cannot be written.
        """
        texts = read_texts(self.folder)
        for stem in self.texts:
            if texts.get(stem) != self.now.get(stem):
                raise MovedError(file_of(stem))
        for stem, text in self.texts.items():
            write_whole(self.folder.resolve() / file_of(stem), self._bytes(stem, text))
        return [file_of(stem) for stem in self.texts]

    def _bytes(self, stem: str, text: str) -> bytes:
        """Return a text as the bytes of its file, with a byte order mark where it had one."""
        path = self.folder / file_of(stem)
        has_mark = path.exists() and path.read_bytes().startswith(_BYTE_ORDER_MARK.encode())
        return (_BYTE_ORDER_MARK * has_mark + text).encode()


def _linked(source: str, target: str) -> None:
    """Give a file a second name rather than copy it, where the disk can."""
    try:
        os.link(source, target, follow_symlinks=False)
    except OSError:
        shutil.copy2(source, target, follow_symlinks=False)


def bring_back(
    file: Path, folder: Path, last: Callable[[Mapping[str, str]], Mapping[str, str] | None] = lambda texts: None
) -> BroughtBack:
    """Return what a workbook would change in a practice folder; nothing is written.

    `last` says how the folder's files were when the workbook that was made of some texts was brought back before.

    Raises `NoWorkbookError`, `UnreadableError`, and `PracticeError` where a file of the folder cannot be read.
    """
    book = read_back(file)
    found = compare(book)
    now = read_texts(folder)
    merged = merge(found.edits, book.texts, now, last(book.texts))
    read = read_folder(folder).files
    places = SourceLocations(
        keys={path: place for each in read.values() for path, place in each.keys.items()},
        values={path: place for each in read.values() for path, place in each.values.items()},
    )
    return BroughtBack(
        folder=folder,
        edits=merged.edits,
        problems=[*found.problems, *merged.problems],
        told=book.told,
        texts=merged.texts,
        comments=merged.comments,
        cells=found.cells,
        places=places,
        now=now,
        made_of=book.texts,
    )
