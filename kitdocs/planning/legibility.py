"""Printed size of letters and codes, from the distance they are read at.

Letters: height = distance / 200, a rule of the United States Federal Aviation Administration. At that distance they
span 17.19 minutes of arc, above the 16 that NUREG-0700 (guideline 1.3.1-4) asks for at least and below the 20 that
it prefers. Codes: side = distance / 10, common practice and not in ISO/IEC 18004; the quiet zone of 4 modules on
every side is in that standard. The editions are in tests/SOURCES.md.
"""

from __future__ import annotations

from kitdocs.planning.figure import Figure, stated
from kitdocs.practice.message import Fixed, message
from kitdocs.practice.model import Practice

#: The least letter height on a posted card, mm. Our choice: readable one step further back.
LEAST_LETTER_MM = 2.5

#: Distance a poster is read from, mm: across a staff room. Our choice.
POSTER_READ_FROM_MM = 2000.0

#: Height of a capital letter as a share of the type size: Atkinson Hyperlegible, OS/2 table, 668 of 1000.
CAP_HEIGHT = 0.668

POINT_MM = 25.4 / 72

QUIET_MODULES = 4

#: The version of the code that the plan gives a side for.
CODE_VERSION = 4

#: The least module that an office printer holds and a phone reads, mm. Common practice, no source.
LEAST_MODULE_MM = 0.5

#: Printed side of a code whose minimum is smaller, mm. Our choice.
USUAL_CODE_MM = 28.0

#: The same of a code on a full page, which is held or stood before. Our choice: it costs the page no line.
SHEET_CODE_MM = 25.0


def letter_height_mm(reading_distance: float) -> float:
    """Return the least height in mm of a capital letter on a posted card, read from `reading_distance` mm."""
    return max(LEAST_LETTER_MM, reading_distance / 200)


def type_size_pt(cap_height: float) -> float:
    """Return the type size in points whose capitals are `cap_height` mm high in the handbook's typeface."""
    return cap_height / CAP_HEIGHT / POINT_MM


def code_modules(version: int) -> int:
    """Return the modules along one side of a QR code of a version from 1 to 40, without its quiet zone."""
    return 17 + 4 * version


def code_side_mm(scanning_distance: float, modules: int, usual: float = USUAL_CODE_MM) -> float:
    """Return the printed side in mm of a QR code, its quiet zone included; `modules` are counted without it.

    At least distance / 10, at least 0.5 mm a module, and `usual` when both allow less.
    """
    return max(scanning_distance / 10, LEAST_MODULE_MM * (modules + 2 * QUIET_MODULES), usual)


def legibility_figures(practice: Practice) -> tuple[Figure, ...]:
    """Return the least letter height, the type size that gives it, and the code's side."""
    settings = practice.settings
    distance, scanned_from = settings.reading_distance, settings.scanning_distance
    letter, modules = letter_height_mm(distance), code_modules(CODE_VERSION)
    read_from = stated(practice, "reading-distance", distance, ("practice", "reading_distance"), "mm")
    return (
        Figure(
            id="legibility.letter",
            name=message("figures.legibility.letter.name"),
            value=round(letter, 2),
            unit="mm",
            why=message("figures.legibility.letter.why", distance=distance, least=LEAST_LETTER_MM),
            inputs=(read_from,),
            section="legibility",
        ),
        Figure(
            id="legibility.type-size",
            name=message("figures.legibility.type-size.name"),
            value=round(type_size_pt(letter), 1),
            unit="pt",
            why=message(
                "figures.legibility.type-size.why",
                letter=Fixed(letter, 2),
                capital=CAP_HEIGHT,
                point=Fixed(POINT_MM, 4),
            ),
            inputs=(read_from,),
            section="legibility",
        ),
        Figure(
            id="legibility.code",
            name=message("figures.legibility.code.name", version=CODE_VERSION),
            value=round(code_side_mm(scanned_from, modules), 1),
            unit="mm",
            why=message(
                "figures.legibility.code.why",
                distance=scanned_from,
                module=LEAST_MODULE_MM,
                version=CODE_VERSION,
                modules=modules,
                quiet=QUIET_MODULES,
                usual=USUAL_CODE_MM,
            ),
            inputs=(stated(practice, "scanning-distance", scanned_from, ("practice", "scanning_distance"), "mm"),),
            section="legibility",
        ),
    )
