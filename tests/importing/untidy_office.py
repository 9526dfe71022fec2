"""What an office has when it begins: an inventory of 60 lines on two sheets, typed by two people, without a price."""

from __future__ import annotations

from pathlib import Path

import openpyxl
from appointment_book import ENGLISH, book, csv_text, table

#: Inches mostly, as an assistant writes them; a length is missing here and there.
_CABINET = """
weingarts|28|5.5"
Howe pliers|6|5 1/2 in
how plier|2|
bird beak 139|11|5 in
Three prong plyer|4|12.5 cm
DEC|22|5½"
Distal End Cutter (carbide)|9|5.5
Lig cutter|31|5.5 inches
ligature cuters|4|
HWC|6|6.5 in
Hard wire cuter|2|
bracket remover|8|5.5"
posterior band remover|5|5.5 in
Mathieu NH|34|5.5"
mathieu needle holders|3|14 cm
mosquito|12|5"
Mosquito forceps curved|5|5 in
crown scissors|3|4.5"
cotton pliers|40|6"
bracket tweezers|26|6 in
BRACKET HOLDER|2|
Tweed loop plier|2|5 in
step plier 0.5mm|3|5"
hollow chop|2|
De La Rosa plier|1|5 in
crimpable hook plier|3|5"
coon ligature tying plier|2|
adhesive removing plier|4|5.5"
separating plier|6|5.25 in
tweezers|4|
gloves M|12|
NiTi wire .016|200|
elastomeric chain clear|9|
blue thing|1|
Total|515|
"""
#: Millimetres, with a column of its own for the unit nowhere.
_DRAWERS = """
MIRROR|60|165
mouth mirors|14|165mm
Mirror #5|8|165
explorer|58|160
Explorers dbl end|4|160 mm
scalers|30|170
sickle scaler|6|
perio probe|9|170
band pusher|14|165
Band seater|10|
bite stick|6|150
lig tucker|33|170
ligature director|5|170 mm
cement spatula|6|
cheek retractors|24|
tongue guard|5|
handpiece|7|
boone gauge|8|
bracket height guage|2|
mixing spatula|3|
wax knife|2|
amalgam plugger|4|
plastic instrument|3|
ruler|2|
wieldable hooks|40|
"""


def rows_of(text: str) -> list[list[object]]:
    """The lines of a sheet, numbers as numbers."""
    rows: list[list[object]] = []
    for line in text.strip().splitlines():
        name, count, length = line.split("|")
        bare = float(length) if length.replace(".", "").isdigit() else length or None
        rows.append([name, int(count), bare])
    return rows


def inventory(path: Path) -> Path:
    """Write the inventory: a title above the headings of the first sheet, an empty line in the second."""
    made = openpyxl.Workbook()
    cabinet = made.worksheets[0]
    cabinet.title = "Cabinet A"
    for row in [["Instrument inventory, counted in spring"], [], ["Instrument", "Qty", "Size"], *rows_of(_CABINET)]:
        cabinet.append(row)
    drawers = made.create_sheet("Drawers (hand instr.)")
    lines = rows_of(_DRAWERS)
    for row in [["Description", "On hand", "Length (mm)"], *lines[:9], [], *lines[9:]]:
        drawers.append(row)
    made.save(path)
    return path


def appointments(path: Path) -> Path:
    """Write two weeks of the appointment book with its columns about patients, all of them invented."""
    path.write_text(csv_text(table(book(weeks=2), ENGLISH)), "utf-8")
    return path
