"""A grammar of mess: inventories as offices write them, with what each must become; the same for the same seed."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from random import Random

import openpyxl

#: Spellings that mean one thing, each with the identity that it has: kind and what tells it apart.
INSTRUMENTS: dict[tuple[str, ...], tuple[str, ...]] = {
    ("weingart-plier",): ("weingarts", "Weingart Plier", "alicate Weingart", "Plier, Weingart", "WEINGART UTILITY"),
    ("howe-plier",): ("how plier", "Howe", "HOWE PLIERS", "alicate how"),
    ("bird-beak-plier",): ("bird beak 139", "Bird-beak plier", "birdbeak", "pico de pájaro"),
    ("three-prong-plier",): ("3 prong", "Three jaw plier", "alicate tres picos"),
    ("distal-end-cutter",): ("DEC", "Distal End Cutter", "distal cutters", "Corte distal", "cortador distal"),
    ("distal-end-cutter", "carbide"): ("DEC TC", "Distal end cutter (carbide)", "corte distal de carburo"),
    ("ligature-cutter",): ("lig cutter", "Ligature cutters", "corta ligaduras", "pin & ligature cutter"),
    ("hard-wire-cutter",): ("HWC", "Hard wire cutter", "cortador alambre grueso"),
    ("bracket-removing-plier",): ("bracket remover", "Debonding pliers", "quita brackets"),
    ("band-removing-plier",): ("band remover", "Posterior band remover", "quita bandas"),
    ("mathieu-needle-holder",): ("Mathieu NH", "mathieu", "Porta agujas Mathieu"),
    ("mosquito-forceps",): ("mosquito", "Mosquito forceps", "pinza mosquito"),
    ("mosquito-forceps", "curved"): ("Mosquito curved", "mosquito curva"),
    ("scissors",): ("scissors", "Tijeras"),
    ("cotton-plier",): ("cotton pliers", "pinza algodonera"),
    ("bracket-holder",): ("bracket tweezers", "bkt holder", "porta brackets"),
    ("mouth-mirror",): ("mirror", "Mouth mirrors", "espejo bucal", "ESPEJO"),
    ("explorer",): ("explorer", "Exploradores", "sonda exploradora"),
    ("scaler",): ("scaler", "Cureta", "sickle scaler"),
    ("periodontal-probe",): ("perio probe", "sonda periodontal"),
    ("band-pusher",): ("band pusher", "empujador de bandas"),
    ("ligature-director",): ("ligature tucker", "director de ligaduras"),
    ("cement-spatula",): ("cement spatula", "espátula de cemento"),
    ("cheek-retractor",): ("cheek retractors", "abrebocas"),
    ("other-plier", "loop", "tweed"): ("Tweed loop plier", "tweed loop"),
}
#: What no program can know: each must be asked.
UNCLEAR = ("tweezers", "cutter", "plier, misc", "hemostat", "blue thing", "scaler tips", "weingart holder rack")
#: What no card is about.
CONSUMABLES = ("gloves M", "guantes L", "NiTi wire .016", "cotton rolls", "elastomeric chain")
#: Nothing of these columns may be seen anywhere.
SECRETS = ("(555) 201-3345", "555-0147", "Ana López", "J. Smith", "rep@supplier.example", "12/03/1999")

HEADINGS = {
    "name": ("Instrument", "Item", "Description", "Instrumento", "Artículo", "NAME", "descripcion"),
    "stock": ("Qty", "Quantity", "On hand", "Cantidad", "Cant.", "QTY ON HAND", "Existencias", "#"),
    "length": ("Length", "Size", "Largo", "Medida", "Longitud"),
    "price": ("Price", "Unit Price", "Cost", "Precio", "Costo", "Precio unitario"),
    "reference": ("Ref", "Item no.", "Referencia", "SKU"),
    "place": ("Location", "Ubicación", "Cabinet"),
    "phone": ("Rep phone", "Teléfono", "Tel.", "Contact"),
    "rep": ("Rep", "Salesman", "Vendedor"),
}


@dataclass
class Thing:
    on_hand: int = 0
    length: float | None = None
    price: str | None = None


@dataclass
class Mess:
    """An inventory as sheets of cells, and what must become of it."""

    sheets: dict[str, list[list[str | int | float | None]]]
    things: dict[tuple[str, ...], Thing]
    asked: set[str] = field(default_factory=set)
    left_out: set[str] = field(default_factory=set)
    form: str = "xlsx"

    def write(self, folder: Path) -> Path:
        path = folder / f"inventory.{self.form.partition('-')[0]}"
        if self.form == "xlsx":
            book = openpyxl.Workbook()
            book.remove(book.worksheets[0])
            for name, rows in self.sheets.items():
                sheet = book.create_sheet(name)
                for row in rows:
                    sheet.append(row)
            book.save(path)
            return path
        _, separator, encoding = self.form.split("-", 2)
        text = io.StringIO()
        (rows,) = self.sheets.values()
        csv.writer(text, delimiter={"comma": ",", "semicolon": ";", "tab": "\t"}[separator]).writerows(rows)
        path.write_bytes(text.getvalue().encode(encoding))
        return path


def messy_inventory(seed: int) -> Mess:
    """Return one of as many inventories as there are seeds."""
    draw = Random(seed)
    form = draw.choice(
        ("xlsx", "xlsx", "csv-comma-utf-8-sig", "csv-semicolon-cp1252", "csv-tab-utf-16", "csv-semicolon-utf-8")
    )
    mess = Mess({}, {}, form=form)
    number = draw.choice((1, 2)) if form == "xlsx" else 1
    chosen = draw.sample(list(INSTRUMENTS), draw.randint(4, 16))
    for identity in chosen:
        eighths = draw.randint(36, 54)  # 4 1/2 to 6 3/4 in
        price = draw.choice((None, f"{draw.randint(5, 150)}", f"{draw.randint(5, 150)}.{draw.choice(('50', '25'))}"))
        mess.things[identity] = Thing(length=float(Fraction(eighths, 8)) * 25.4, price=price)
    for n in range(number):
        mess.sheets[draw.choice(("Sheet", "Hoja", "Pliers", "Count")) + f" {n + 1}"] = _sheet(
            draw, mess, chosen, number > 1
        )
    return mess


def _sheet(
    draw: Random, mess: Mess, chosen: list[tuple[str, ...]], again: bool
) -> list[list[str | int | float | None]]:
    fields = [
        "name",
        "stock",
        *(f for f in ("length", "price", "reference", "place", "phone", "rep") if draw.random() < 0.6),
    ]
    draw.shuffle(fields)
    unit = draw.choice(("", "mm", "cm", "in"))
    heads = [draw.choice(HEADINGS[f]) + (f" ({unit})" if f == "length" and unit else "") for f in fields]
    rows: list[list[str | int | float | None]] = []
    if draw.random() < 0.5:
        rows += [["Instrument inventory, spring count"], []]
    rows.append([*heads])
    lines = [
        _line(draw, mess, identity, fields, unit, n)
        for n, identity in enumerate(chosen)
        if not again or draw.random() < 0.8
    ]
    lines += [
        _line(draw, mess, identity, fields, unit, 50 + n)
        for n, identity in enumerate(draw.sample(chosen, min(3, len(chosen))))
        if draw.random() < 0.5
    ]
    extra = [(text, mess.asked) for text in draw.sample(UNCLEAR, draw.randint(0, 2))]
    extra += [(text, mess.left_out) for text in draw.sample(CONSUMABLES, draw.randint(0, 2))]
    for n, (text, kept) in enumerate(extra):
        kept.add(text)
        lines.append([text if f == "name" else 3 + n if f == "stock" else None for f in fields])
    draw.shuffle(lines)
    for line in lines:
        if draw.random() < 0.1:
            rows.append([None] * len(fields))
        rows.append(line)
    if draw.random() < 0.4:
        rows.append(["TOTAL" if f == "name" else 999 if f == "stock" else None for f in fields])
    return rows


def _line(
    draw: Random, mess: Mess, identity: tuple[str, ...], fields: list[str], unit: str, n: int
) -> list[str | int | float | None]:
    thing = mess.things[identity]
    count = draw.randint(1, 40)
    thing.on_hand += count
    cells: dict[str, str | int | float | None] = {
        "name": _dressed(draw, draw.choice(INSTRUMENTS[identity])),
        "stock": draw.choice((count, str(count), f"{count} pcs", f" {count} ", f"{count} uds.")),
        "length": _length(draw, thing.length or 0, unit),
        "price": _price(draw, thing.price),
        "reference": f"R-{n}{draw.randint(10, 99)}",
        "place": draw.choice(("Drawer 1", "Cajón 2", None)),
        "phone": draw.choice(SECRETS),
        "rep": draw.choice(("Ana López", "J. Smith")),
    }
    return [cells[f] for f in fields]


def _dressed(draw: Random, text: str) -> str:
    return draw.choice((text, text, text.upper(), text.lower(), f"  {text} ", f"{text}."))


def _length(draw: Random, mm: float, unit: str) -> str | int | float | None:
    inches = Fraction(round(mm / 25.4 * 8), 8)
    whole, part = divmod(inches, 1)
    mixed = f"{whole} {part}" if part else f"{whole}"
    if unit and draw.random() < 0.6:
        number = {"mm": mm, "cm": mm / 10, "in": mm / 25.4}[unit]
        return draw.choice((round(number, 2), f"{number:.2f}".replace(".", ",") if unit != "mm" else f"{number:.1f}"))
    return draw.choice(
        (f"{mm:.0f} mm", f"{mm:.0f}mm", f"{mm / 10:.1f} cm".replace(".", ","), f'{mixed}"', f"{mixed} in", None)
    )


def _price(draw: Random, price: str | None) -> str | float | None:
    if price is None:
        return None
    return draw.choice((price, float(price), f"${price}", price.replace(".", ","), f"${price} "))
