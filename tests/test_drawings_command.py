"""`kitdocs drawings` as the author of a folder runs it to choose by picture."""

from __future__ import annotations

from pathlib import Path
from typing import get_args

import pypdfium2 as pdfium
import pytest
from asking import Ask

from kitdocs.practice.kinds import DrawingKind

pytestmark = pytest.mark.whole

# Width and height in mm: ISO 216 A4; US Letter is 8.5 × 11 in.
PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}


@pytest.mark.parametrize("paper, language", [("letter", "en"), ("a4", "es")])
def test_every_word_that_a_folder_may_use_is_on_the_sheets(ask: Ask, tmp_path: Path, paper: str, language: str) -> None:
    to = tmp_path / "drawings.pdf"
    answer = ask("drawings", "--to", to, "--paper", paper, "--language", language)
    assert answer.status == 0 and "drawings.pdf" in answer.out
    document = pdfium.PdfDocument(to)
    sizes = {(round(page.get_width() / 72 * 25.4, 1), round(page.get_height() / 72 * 25.4, 1)) for page in document}
    assert sizes == {PAPERS[paper]}
    words = " ".join(page.get_textpage().get_text_bounded() for page in document).split()
    assert set(get_args(DrawingKind)) <= set(words)


def test_a_language_without_words_is_told_and_nothing_is_written(ask: Ask, tmp_path: Path) -> None:
    answer = ask("drawings", "--to", tmp_path / "drawings.pdf", "--language", "xx")
    assert answer.status == 1 and "no words for the language 'xx'" in answer.err
    assert not list(tmp_path.iterdir())


def test_a_path_that_climbs_out_of_a_missing_folder_does_not_replace_another_file(ask: Ask, tmp_path: Path) -> None:
    (tmp_path / "mine.pdf").write_bytes(b"mine")
    answer = ask("drawings", "--to", tmp_path / "build" / ".." / "mine.pdf")
    assert answer.status == 2
    assert (tmp_path / "mine.pdf").read_bytes() == b"mine"
