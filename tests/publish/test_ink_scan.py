"""The scan of finished sheets sees each kind of fault, and none where there is none."""

from __future__ import annotations

import pytest
import typst
from ink_scan import faults

from kitdocs.practice.typeface import FOLDER as FONTS

#: A page of 100 × 60 mm with one fault.
FAULTY = {
    "off the page": '#place(dx: 92mm, dy: 20mm, "outside")',
    "near the edge": '#place(dx: 3mm, dy: 20mm, "near")',
    "text on text": '#place(dx: 30mm, dy: 20mm, "one line")#place(dx: 31mm, dy: 21mm)[another]',
    "across an edge": '#place(dx: 30mm, dy: 20mm, "word")#place(dx: 28mm, dy: 21.5mm, line(length: 20mm))',
    "on a rule": '#place(dx: 30mm, dy: 20mm, "jaw")#place(dx: 28mm, dy: 22.9mm, line(length: 20mm, stroke: .3pt))',
    "cut off": "#place(dx: 30mm, dy: 20mm, box(width: 5mm, height: 3mm, clip: true, box(width: 30mm)[scissors]))",
    "shortened": "#place(dx: 30mm, dy: 20mm)[Bird-beak pl…]",
    "lines too near": "#place(dx: 9mm, dy: 9mm, box(width: 20mm, par(leading: 0.35em)[one line near another]))",
    "near a cut": """#place(dx: 22mm, dy: 22mm, "card")
#for x in (20mm, 80mm) { for y in (5mm, 50mm) { place(dx: x, dy: y, line(angle: 90deg, length: 5mm, stroke: .3pt)) } }
#for y in (14mm, 46mm) { for x in (10mm, 85mm) { place(dx: x, dy: y, line(length: 5mm, stroke: .3pt)) } }""",
}


@pytest.mark.parametrize("kind", FAULTY)
def test_the_scan_sees_each_kind_of_fault(kind):
    head = '#set page(width: 100mm, height: 60mm, margin: 0mm)\n#set text(font: "Atkinson Hyperlegible", size: 10pt)\n'
    fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(FONTS)])
    sound = "#place(dx: 40mm, dy: 30mm)[“sound …”]#place(dx: 38mm, dy: 35mm, line(length: 20mm, stroke: .3pt))"
    for faulty in ("", FAULTY[kind]):
        pdf = typst.Compiler(font_paths=fonts).compile((head + sound + faulty).encode(), format="pdf")
        assert isinstance(pdf, bytes)
        found = faults(pdf)
        assert [fault.words for fault in found if "sound" in fault.words] == []
        assert any(fault.kind == kind for fault in found) == bool(faulty)
