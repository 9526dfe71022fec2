"""What PDFs ask of a printer, held against ISO 32000-1: 12.2, 12.4.2, 14.11.2 and 14.11.5 (SOURCES)."""

from __future__ import annotations

import hashlib
import io
import struct
from pathlib import Path
from typing import Any

import numpy as np
import pikepdf
import pypdfium2 as pdfium
import pytest
from numpy.typing import NDArray
from pdf_pages import box_mm, of_colour, page_sizes_mm, pixels
from sample_handbook import chair_card, pouch_items, sample_handbook

from kitdocs.document.card import Handbook
from kitdocs.document.history import Replacement
from kitdocs.library import write_survey
from kitdocs.publish.print.documents import DOCUMENTS, LABELS, POSTER, POUCH_LISTS, REFILL_CARDS, plan_report
from kitdocs.publish.print.rendering import Rendering
from kitdocs.publish.print.replacement import render_replacements
from kitdocs.report.build_report import make_report

pytestmark = pytest.mark.whole

BOTH_SIDES = {"binder.pdf", "refill-cards.pdf", "plan.pdf", "replacement.pdf"}
NAMES = [*(document.file for document in DOCUMENTS), "plan.pdf", "replacement.pdf", "survey.pdf"]
MM = 25.4 / 72


@pytest.fixture(scope="module")
def pdfs(
    example: Any, example_plan: Any, example_handbooks: tuple[Handbook, ...], tmp_path_factory: pytest.TempPathFactory
) -> dict[str, bytes]:
    spanish = example_handbooks[1]
    shared = Rendering(spanish)
    new = [
        Replacement(card=card, action="add", title=spanish.card(card).title, new_edition="NEW33")
        for card in ("r/chair-1", "poster")
    ]
    survey: Path = tmp_path_factory.mktemp("survey") / "survey.pdf"
    write_survey(survey)
    return {
        **{document.file: document.render(shared) for document in DOCUMENTS},
        "plan.pdf": plan_report(Rendering(make_report(example, example_plan))),
        "replacement.pdf": render_replacements(spanish, new),
        "survey.pdf": survey.read_bytes(),
    }


@pytest.mark.parametrize("name", NAMES)
def test_every_pdf_asks_for_true_size_for_its_paper_and_for_its_sides(pdfs: dict[str, bytes], name: str) -> None:
    with pikepdf.open(io.BytesIO(pdfs[name])) as pdf:
        asked = pdf.Root.ViewerPreferences
        assert asked.PrintScaling == "/None"
        assert asked.PickTrayByPDFSize is True
        assert asked.Duplex == ("/DuplexFlipLongEdge" if name in BOTH_SIDES else "/Simplex")
        assert asked.DisplayDocTitle is True  # what Typst wrote there stays
        assert not pdf.check_pdf_syntax()


@pytest.mark.parametrize("name", NAMES)
def test_another_library_reads_the_same_wishes(pdfs: dict[str, bytes], name: str) -> None:
    document = pdfium.PdfDocument(pdfs[name])
    assert not pdfium.raw.FPDF_VIEWERREF_GetPrintScaling(document)
    flip = pdfium.raw.DuplexFlipLongEdge if name in BOTH_SIDES else pdfium.raw.Simplex
    assert pdfium.raw.FPDF_VIEWERREF_GetDuplex(document) == flip
    assert all(document.get_page_label(page) for page in range(len(document)))


@pytest.mark.parametrize("name", NAMES)
def test_every_page_has_its_boxes_one_within_the_other(pdfs: dict[str, bytes], name: str) -> None:
    with pikepdf.open(io.BytesIO(pdfs[name])) as pdf:
        assert "/PageLabels" in pdf.Root
        for page in pdf.pages:
            media, bleed, trim = ([float(n) for n in page.obj[box]] for box in ("/MediaBox", "/BleedBox", "/TrimBox"))
            for outer, inner in ((media, bleed), (bleed, trim)):
                assert outer[0] <= inner[0] < inner[2] <= outer[2]
                assert outer[1] <= inner[1] < inner[3] <= outer[3]
            cut = name == "refill-cards.pdf" or (name == "replacement.pdf" and page.label.startswith("Tarjetas"))
            assert (trim != media) == cut, page.label


@pytest.mark.parametrize("name", NAMES)
def test_every_pdf_says_which_colours_it_means(pdfs: dict[str, bytes], name: str) -> None:
    """ICC.1:2010, 7.2 (from memory): size, device class, colour space and mark of a profile's header."""
    with pikepdf.open(io.BytesIO(pdfs[name])) as pdf:
        (intent,) = pdf.Root.OutputIntents
        assert (intent.Type, intent.S) == ("/OutputIntent", "/GTS_PDFA1")
        in_colour = name != "survey.pdf"
        assert str(intent.OutputConditionIdentifier) == ("sRGB IEC61966-2.1" if in_colour else "Custom")
        assert str(intent.Info)
        profile = intent.DestOutputProfile.read_bytes()
        assert struct.unpack(">I", profile[:4]) == (len(profile),)
        assert (profile[12:16], profile[16:20], profile[36:40]) == (b"mntr", b"RGB " if in_colour else b"GRAY", b"acsp")
        components = int(intent.DestOutputProfile.N)
        assert components == (3 if in_colour else 1)


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("size", [(152.4, 101.6), (127.0, 76.2)], ids=["upright", "lying"])
def test_the_trim_box_is_where_the_crop_marks_point_and_the_bleed_box_where_ink_ends(
    paper: Any, size: tuple[float, float]
) -> None:
    """Both sides: crop marks stand beside the outermost cuts of the front, colour ends at the bleed of the back."""
    colour = "#d81b74"
    cards = [
        chair_card(f"r/{n}", name=f"Chair {n}", word="pink", colour=colour, items=pouch_items(1)) for n in range(4)
    ]
    pdf = REFILL_CARDS.render(Rendering(sample_handbook(*cards, paper=paper, card_mm=size)))
    with pikepdf.open(io.BytesIO(pdf)) as document:
        assert [page.label for page in document.pages[:3]] == ["1", "1 back", "2"][: len(document.pages)]
        page = document.pages[0].obj
        trim, bleed = ([float(n) * MM for n in page[box]] for box in ("/TrimBox", "/BleedBox"))
    height = page_sizes_mm(pdf)[0][1]
    left, low, right, high = trim
    assert bleed == pytest.approx([left - 3, low - 3, right + 3, high + 3], abs=0.01)
    image = pixels(pdf, 0)
    ink = box_mm(of_colour(image, colour, slack=40))
    assert ink[:2] == pytest.approx((bleed[0], height - bleed[3]), abs=0.1)
    # On the front of the last card, its code may stand below the colour.
    back = box_mm(of_colour(pixels(pdf, 1), colour, slack=40))
    assert (back[1], back[3]) == pytest.approx((height - bleed[3], height - bleed[1]), abs=0.1)
    outside: NDArray[np.bool_] = np.asarray((image < 120).all(axis=2))
    dots = 300 / 25.4
    outside[:, round((left - 3.2) * dots) : round((right + 3.2) * dots)] = False
    _, top_mark, _, bottom_mark = box_mm(outside)
    assert (top_mark, bottom_mark) == pytest.approx((height - high, height - low), abs=0.15)


def test_the_same_handbook_gives_the_same_bytes() -> None:
    for document in (REFILL_CARDS, POUCH_LISTS, POSTER, LABELS):
        once, again = (document.render(Rendering(sample_handbook())) for _ in range(2))
        assert hashlib.sha256(once).digest() == hashlib.sha256(again).digest()
