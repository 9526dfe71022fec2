"""Photos that were brought in, on finished sheets: never so large that they print at less than 300 dpi."""

from __future__ import annotations

import ctypes
import io
from dataclasses import replace
from pathlib import Path

import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from PIL import Image

from kitdocs import Practice, make_handbook, make_plan
from kitdocs.document.catalog import built_in_catalog
from kitdocs.practice.photos import LONGEST_PX, photo_to_keep
from kitdocs.practice.settings import Photos
from kitdocs.publish.print.contact_sheet import ContactPhoto, contact_sheet
from kitdocs.publish.print.documents import REFILL_CARDS, sheets
from kitdocs.publish.print.rendering import Rendering

#: What printers ask of a photo. Common practice, no source.
DPI = 300


def resolutions(pdf: bytes) -> list[float]:
    """Pixels per inch of each photo as it is printed."""
    document = pypdfium2.PdfDocument(pdf)
    found = []
    for page in document:
        for image in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_IMAGE], max_depth=9):
            matrix = image.get_matrix()
            across = (matrix.a**2 + matrix.b**2) ** 0.5  # points
            wide, high = ctypes.c_uint(), ctypes.c_uint()
            assert pdfium.FPDFImageObj_GetImagePixelSize(image.raw, wide, high)
            found.append(wide.value / (across / 72))
    return found


@pytest.fixture(scope="module")
def jpeg() -> bytes:
    """A photo of 12 megapixels as it is kept."""
    out = io.BytesIO()
    Image.effect_noise((504, 378), 60).convert("RGB").resize((4032, 3024)).save(out, "JPEG")
    return photo_to_keep(out.getvalue()).jpeg


@pytest.mark.whole
def test_no_card_shows_the_photo_of_an_instrument_at_less_than_300_dpi(
    small: Practice, jpeg: bytes, tmp_path: Path
) -> None:
    photos = {instrument: tmp_path / f"{instrument}.jpg" for instrument in small.instruments}
    for path in photos.values():
        path.write_bytes(jpeg)
    settings = small.settings.model_copy(update={"photos": Photos(instruments="instead")})
    practice = replace(small, settings=settings, photos=photos)
    book = make_handbook(practice, make_plan(practice, days=20))
    walls = resolutions(REFILL_CARDS.render(Rendering(book)))
    others = resolutions(sheets(book, [card for card in book.cards if card.form == "sheet"], title="All"))
    assert len(walls) > 5 and len(others) > 20
    assert min([*walls, *others]) >= DPI
    assert LONGEST_PX / min([*walls, *others]) * 25.4 <= 58, "mm: what the README says of the largest"


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("language", ["en", "es", "de", "fr"])
def test_a_contact_sheet_has_twelve_photos_on_its_first_page_at_300_dpi(jpeg: bytes, paper: str, language: str) -> None:
    photos = [ContactPhoto(number=n, name=f"IMG_{4710 + n}.HEIC", jpeg=jpeg, answer="") for n in range(1, 14)]
    things = {f"instrument-{n}": f"Instrument {n}" for n in range(60)}
    words = built_in_catalog(language)
    pdf = contact_sheet(photos, things, words=words, practice="Ours", paper=paper)  # type: ignore[arg-type]
    assert pdf == contact_sheet(photos, things, words=words, practice="Ours", paper=paper)  # type: ignore[arg-type]
    document = pypdfium2.PdfDocument(pdf)
    texts = [page.get_textpage().get_text_bounded() for page in document]
    assert "IMG_4722.HEIC" in texts[0] and "IMG_4723.HEIC" in texts[1] and len(texts) == 2
    assert all(id_ in texts[1] for id_ in things) and words("import.contact.title") in texts[0]
    assert min(resolutions(pdf)) >= DPI - 1
