"""PDF files that a command writes: never over a file that kitdocs did not write, and whole or not at all."""

from __future__ import annotations

from pathlib import Path

from kitdocs.practice.problems import PublishError, TargetError
from kitdocs.practice.writing import write_whole

#: Keyword that `page.typ` puts into every PDF of kitdocs.
_OURS = b"/Keywords(kitdocs)"


def refuse_other(file: Path) -> None:
    """Raise `TargetError` if `file` does not end in .pdf, or exists and kitdocs did not write it."""
    if file.suffix.lower() != ".pdf" or file.is_dir():
        raise TargetError(f"'{file}' is not a PDF file name; give one that ends in .pdf, for example sheets.pdf")
    try:
        place = file.resolve()  # a path through a folder that is missing may lead to a file all the same
        there = place.read_bytes() if place.exists() else b""
    except OSError as error:
        raise TargetError(f"cannot read {file}: {error.strerror or error}") from error
    if there and _OURS not in there:
        raise TargetError(f"{file} exists and kitdocs did not write it; give another name, or move it away first")


def write_pdf(file: Path, pdf: bytes) -> None:
    """Write the PDF as `file`, replacing an earlier one. Raises `TargetError` or `PublishError`."""
    refuse_other(file)
    file = file.resolve()
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        write_whole(file, pdf)
    except OSError as error:
        raise PublishError(f"could not write {file}: {error.strerror or error}") from error
