"""A finished PDF tells who made it and how many pages it has."""

from __future__ import annotations

import io
from pathlib import Path

import pikepdf
import pytest
from sample_handbook import sample_pdf

from kitdocs.errors import TargetError
from kitdocs.library import refuse_other
from kitdocs.publish.print.finished import is_of_kitdocs, page_count


@pytest.mark.whole
@pytest.mark.parametrize("document", ["binder", "refill_cards", "pouch_lists"])
def test_every_document_is_known_as_one_of_kitdocs_and_may_be_replaced(document: str, tmp_path: Path) -> None:
    """The keyword of a joined document is packed: no search of its bytes finds it."""
    assert is_of_kitdocs(sample_pdf(document))
    (tmp_path / "mine.pdf").write_bytes(sample_pdf(document))
    refuse_other(tmp_path / "mine.pdf")


def other_pdf(keywords: str = "") -> bytes:
    """A PDF that another program wrote; a page of it holds the very bytes that tell one of kitdocs."""
    file = io.BytesIO()
    with pikepdf.new() as pdf:
        pdf.add_blank_page().Contents = pdf.make_stream(b"% /Keywords(kitdocs)")
        if keywords:
            pdf.docinfo["/Keywords"] = keywords
        pdf.save(file, compress_streams=False)
    assert b"/Keywords(kitdocs)" in file.getvalue()
    return file.getvalue()


def locked(pdf: bytes) -> bytes:
    file = io.BytesIO()
    with pikepdf.open(io.BytesIO(pdf)) as document:
        document.save(file, encryption=pikepdf.Encryption(owner="one", user="two"))
    return file.getvalue()


@pytest.mark.parametrize(
    "file",
    [
        other_pdf(),
        other_pdf("kitdocs, edited"),
        other_pdf().replace(b"/Size", b"/Info 7 /Size"),
        locked(other_pdf("kitdocs")),
        b"",
        b"/Keywords(kitdocs)",
        b"%PDF-1.7",
    ],
    ids=["without keywords", "other keywords", "number instead of them", "locked", "empty", "no PDF", "cut off"],
)
def test_what_kitdocs_did_not_write_is_known_too(file: bytes) -> None:
    assert not is_of_kitdocs(file)


def test_what_another_program_wrote_is_not_replaced(tmp_path: Path) -> None:
    (tmp_path / "mine.pdf").write_bytes(other_pdf())
    with pytest.raises(TargetError, match=r"mine\.pdf exists and kitdocs did not write it"):
        refuse_other(tmp_path / "mine.pdf")


def test_pages_are_counted() -> None:
    assert page_count(other_pdf()) == 1
