"""`kitdocs survey` as an adviser runs it the evening before."""

from __future__ import annotations

from pathlib import Path

import pypdfium2 as pdfium
import pytest
from asking import Ask

EXAMPLE = Path(__file__).parent.parent / "example_practice"

pytestmark = pytest.mark.whole


def pages(path: Path) -> list[tuple[tuple[float, float], str]]:
    document = pdfium.PdfDocument(path)
    return [
        ((page.get_width() / 72 * 25.4, page.get_height() / 72 * 25.4), page.get_textpage().get_text_bounded())
        for page in document
    ]


def test_blank_sheets_are_on_the_paper_and_in_the_language_that_is_asked_for(ask: Ask, tmp_path: Path) -> None:
    to = tmp_path / "survey.pdf"
    answer = ask("survey", "--to", to, "--paper", "a4", "--language", "es")
    assert answer.status == 0 and "9 sheets" in answer.out
    found = pages(to)
    assert len(found) == 9, "a page each"
    for (width, height), text in found:
        # ISO 216: A4 is 210 × 297 mm.
        assert sorted((width, height)) == pytest.approx([210, 297], abs=0.1)
        assert "Va en: " in text.replace("\r\n", " ")


def test_with_a_folder_the_sheets_are_filled_in(ask: Ask, tmp_path: Path) -> None:
    to = tmp_path / "survey.pdf"
    assert ask("survey", "--to", to, EXAMPLE).status == 0
    text = " ".join(text for _, text in pages(to))
    for said in ("Tern & Juniper Orthodontics", "Archwire change", "Steam sterilizer", "Goes into: procedures.yaml"):
        assert said in text
    # US Letter is 8.5 × 11 in.
    assert all(sorted(size) == pytest.approx([215.9, 279.4], abs=0.1) for size, _ in pages(to))


def test_a_language_without_words_is_told_and_nothing_is_written(ask: Ask, tmp_path: Path) -> None:
    answer = ask("survey", "--to", tmp_path / "survey.pdf", "--language", "xx")
    assert answer.status == 1 and "no words for the language 'xx'" in answer.err
    assert not list(tmp_path.iterdir())
