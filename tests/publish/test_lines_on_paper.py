"""Where lines of print break: no unit is parted from its number, no caution ends in a line of one word.

The first is what the SI brochure asks for (9th edition, 5.4.3: a space stands between number and unit; that it does not
break is common practice, no source), the second common practice, no source.
"""

from __future__ import annotations

import ctypes
import re
from collections.abc import Iterator

import pypdfium2 as pdfium
import pytest
from pypdfium2 import raw

from kitdocs.document.card import Handbook
from kitdocs.publish.print.documents import BINDER, POUCH_LISTS, Document
from kitdocs.publish.print.rendering import Rendering

pytestmark = pytest.mark.whole

UNITS = ("%", "mm", "cm", "in", "min", "s", "h", "°C", "°F", "kPa", "psi", "bar", "µS/cm", "ppm")
PARTED = re.compile(rf"\d\r?\n({'|'.join(map(re.escape, UNITS))})(?!\w)")

#: ISO 3864-4 signal yellow, which nothing but a caution is printed on.
YELLOW = (0xF9, 0xA8, 0x00)


def cautions(page: pdfium.PdfPage) -> Iterator[list[str]]:
    """The lines of each caution on a page."""
    text = page.get_textpage()
    for path in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
        red, green, blue, alpha = (ctypes.c_uint() for _ in range(4))
        raw.FPDFPageObj_GetFillColor(path, red, green, blue, alpha)
        left, bottom, right, top = path.get_bounds()
        if (red.value, green.value, blue.value) == YELLOW and right - left > 80:  # no triangle
            yield [line for line in text.get_text_bounded(left, bottom, right, top).splitlines() if line.strip()]


@pytest.mark.parametrize("document", [BINDER, POUCH_LISTS], ids=lambda of: of.file)
@pytest.mark.parametrize("which", [0, 1], ids=["english", "spanish"])
def test_no_unit_begins_a_line_and_no_caution_ends_in_one_word(
    which: int, document: Document, example_handbooks: tuple[Handbook, ...]
) -> None:
    seen = 0
    for page in pdfium.PdfDocument(document.render(Rendering(example_handbooks[which]))):
        assert not PARTED.findall(page.get_textpage().get_text_range())
        for lines in cautions(page):
            seen += 1
            assert len(lines) == 1 or len(lines[-1].split()) > 1, lines
    assert seen > 5
