"""A PDF that a command is asked to write: never over a file that kitdocs did not write, and whole or not at all."""

from __future__ import annotations

from pathlib import Path

from kitdocs.practice.problems import PublishError, TargetError
from kitdocs.practice.writing import write_whole

#: What every PDF of kitdocs holds near its end; `page.typ` says it.
_OURS = b"/Keywords(kitdocs)"


def refuse_other(file: Path) -> None:
    """Raise `TargetError` when `file` is no name for a PDF, or names one that kitdocs did not write."""
    if file.suffix.lower() != ".pdf" or file.is_dir():
        raise TargetError(f"'{file}' is not named as a PDF is; name a file, as in sheets.pdf")
    try:
        there = file.read_bytes() if file.exists() else b""
    except OSError as error:
        raise TargetError(f"{file} cannot be looked into: {error.strerror or error}") from error
    if there and _OURS not in there:
        raise TargetError(f"{file} is there, and kitdocs did not write it; name another file, or move it away first")


def write_pdf(file: Path, pdf: bytes) -> None:
    """Write the PDF as `file`, in the place of an earlier one. Raises `TargetError` or `PublishError`."""
    refuse_other(file)
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        write_whole(file, pdf)
    except OSError as error:
        raise PublishError(f"could not write {file}: {error.strerror or error}") from error
