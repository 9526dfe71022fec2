"""Lines of inventories brought together: one record for each instrument, its stock added up, its names reviewed."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from kitdocs.drawings.instruments import usual_size
from kitdocs.importing import columns
from kitdocs.importing.columns import Line
from kitdocs.importing.counts import Counts
from kitdocs.importing.entries import InventoryEntry, by_length, fitting, notes_of
from kitdocs.importing.found import NOTHING, BroughtRecord, Doubt, Found, Known, MergedName, Refused, UnusedCells
from kitdocs.importing.grids import Grid
from kitdocs.importing.names import CERTAIN, NameMatch, match_name
from kitdocs.importing.naming import ThingNames, id_free, is_section
from kitdocs.importing.units import UnitOf
from kitdocs.importing.vocabulary import folded
from kitdocs.practice import quantities
from kitdocs.practice.kinds import is_neutral
from kitdocs.practice.message import Message, message

_TOTALS = frozenset(("total", "totals", "sum", "suma", "subtotal", "totales"))


#: What makes two names one instrument: its kind and qualifiers, or the id of a record that there is.
Identity = tuple[str, ...]


class Stocktaking:
    """One walk through the lines of some sheets."""

    def __init__(self, known: Known) -> None:
        self.known = known
        self.names = ThingNames(known)
        self.entries: dict[Identity, InventoryEntry] = {}
        self.doubts: dict[tuple[str, ...], Doubt] = {}
        self.merged: list[MergedName] = []
        self.unused: list[UnusedCells] = []
        self.currencies: set[str] = set()
        self._counts = Counts(known, self._ask, self.unused)

    def found(self, grids: Sequence[Grid]) -> Found:
        """Return what the sheets come to."""
        for grid in grids:
            lines, unread = columns.lines_of("inventory", grid, self.known)
            self.unused += unread
            unclear = columns.unclear_columns("inventory", grid, self.known, ("name", "stock"))
            self.doubts |= {doubt.about: doubt for doubt in unclear}
            self._sheet(lines)
        records = tuple(self._records())
        return Found(
            records=records,
            doubts=tuple(self.doubts.values()),
            merged=tuple(self.merged),
            unused=tuple(self.unused),
        )

    # lines ---------------------------------------------------------------------------------------

    def _sheet(self, lines: Sequence[Line]) -> None:
        section = ""
        seen: dict[tuple[str, ...], Line] = {}
        units = UnitOf(lines, self.known)
        self.doubts |= {doubt.about: doubt for doubt in units.doubts()}
        for line in lines:
            name = line.text("name")
            if not name:
                self.unused += [line.unused(f, message("import.unused.nameless")) for f in line.cells]
            elif folded(name).strip(" :.") in _TOTALS or folded(name).startswith("total "):
                self.unused.append(line.unused("name", message("import.unused.total")))
            elif set(line.cells) == {"name"} and is_section(name):
                section = name
                self.unused.append(line.unused("name", message("import.unused.section")))
            elif self._is_again(line, seen):
                self.unused.append(line.unused("name", message("import.unused.twice")))
            else:
                self._line(line, line.text("kind") or section, units)

    def _is_again(self, line: Line, seen: dict[tuple[str, ...], Line]) -> bool:
        """Whether a line says what one above says, in every cell; a person may say that it counts all the same."""
        said = tuple(f"{name}={folded(line.text(name))}" for name in sorted(line.cells))
        first = seen.setdefault(said, line)
        if first is line or len(line.cells) == 1:
            return False
        about = ("twice", folded(line.text("name")))
        answer = self.known.chosen(*about, among=("once", "both"))
        if answer is None:
            self._ask(
                Doubt(
                    about=about,
                    asked=message("import.ask.twice", name=line.text("name")),
                    choices={"once": message("import.choice.once"), "both": message("import.choice.both")},
                    suggested="once",
                    sure=0.6,
                    sources=(first.place(), line.place()),
                )
            )
        return answer != "both"

    def _line(self, line: Line, hint: str, units: UnitOf) -> None:
        name = line.text("name")
        identity, match = self._meant(line, match_name(name, hint))
        if identity is None:
            return
        entry = self.entries.setdefault(identity, InventoryEntry(match))
        entry.lines.append(line)
        for field_, measures in (("length", entry.lengths), ("width", entry.widths)):
            if written := self._measure(line, field_, units):
                measures.append((written, line))
        if (price := self._price(line)) is not None:
            entry.prices.append((price, line))
        for field_ in ("stock", "in_repair"):
            if (count := self._counts.of(line, field_)) is not None:
                name_of = "on_hand" if field_ == "stock" else field_
                setattr(entry, name_of, (getattr(entry, name_of) or 0) + count)

    def _meant(self, line: Line, match: NameMatch) -> tuple[Identity | None, NameMatch]:
        """Which instrument a line is about; None where it is left out, or nobody knows yet."""
        name = line.text("name")
        answer = self.known.answer("names", name)
        if answer is not None and (settled := self.names.settled(answer, name)):
            identity, match = settled
            if identity is None:
                self.unused.append(line.unused("name", message("import.unused.said")))
            return identity, match
        if match.is_none and match.certain:
            self.unused.append(line.unused("name", match.why))
            return None, match
        if match.certain or self.names.existing(name, match):
            return self.names.identity(name, match), match
        self._ask(self._which(line, match))
        self.unused.append(line.unused("name", message("import.unused.asked")))
        return None, match

    def _which(self, line: Line, match: NameMatch) -> Doubt:
        name = line.text("name")
        suggested = match.kind or (NOTHING if match.is_none else "")
        choices: dict[str, Message | str] = {
            "own": message("import.choice.own"),
            NOTHING: message("import.choice.nothing"),
        }
        if match.kind:
            said = self.names.said(match.kind)
            choices[match.kind] = message("import.choice.own-kind", kind=said) if is_neutral(match.kind) else said
        before = self.doubts.get(("names", folded(name)))
        return Doubt(
            about=("names", folded(name)),
            asked=message("import.ask.name", name=name),
            choices=choices,
            suggested=suggested,
            sure=match.sure,
            why=match.why,
            any_text=True,
            check=lambda answer: None if self.names.settled(answer, name) else self._unknown(answer),
            sources=(*(before.sources if before else ()), line.place()),
        )

    def _unknown(self, answer: str) -> Refused:
        """Why an answer names no instrument for sure, with the one that is near."""
        kind = match_name(answer).kind
        if kind is None or is_neutral(kind):
            return Refused(why=(message("import.refused.name"),))
        return Refused(why=(message("import.refused.name-near", near=self.names.said(kind), id=kind),))

    def _ask(self, doubt: Doubt) -> None:
        self.doubts[doubt.about] = doubt

    # values --------------------------------------------------------------------------------------

    def _measure(self, line: Line, field_: str, units: UnitOf) -> str:
        cell = line.cells.get(field_)
        if cell is None:
            return ""
        number = columns.bare_number(cell)
        try:
            if number is None:
                written = columns.length_written(cell.text)
            else:
                unit = units.of(field_, number)
                written = f"{number:g} {unit}" if unit else ""
            at_least = columns.SHORTEST if field_ == "length" else 3
            if written and at_least <= quantities.length(written) <= columns.LONGEST:
                return written
            why = message("import.unused.no-unit" if not written else "import.unused.out-of-range")
        except ValueError:
            why = message("import.unused.no-length")
        self.unused.append(line.unused(field_, why))
        return ""

    def _price(self, line: Line) -> Decimal | None:
        cell = line.cells.get("price")
        if cell is None:
            return None
        value: Any = cell.value if isinstance(cell.value, int | float) else cell.text
        try:
            price = quantities.money(value, self.names.currency)
        except ValueError:
            self.unused.append(line.unused("price", message("import.unused.no-price")))
            return None
        self.currencies |= {code for code in ("EUR", "GBP") for sign in _signs(code) if sign in cell.text}
        return price.quantize(Decimal("0.01")) if price != price.to_integral_value() else price

    # records -------------------------------------------------------------------------------------

    def _records(self) -> list[BroughtRecord]:
        taken = set(self.known.of("instruments"))
        records: list[BroughtRecord] = []
        if len(self.currencies) == 1 and not self.known.of("practice"):
            records.append(BroughtRecord(stem="practice", id="", fields={"currency": self.currencies.pop()}))
        for identity, entry in self._told_apart():
            id_ = (
                identity[1]
                if identity[0] == "id"
                else id_free(self.names.id_of(identity, entry.lines[0].text("name")), taken)
            )
            taken.add(id_)
            records += self._of_entry(id_, identity, entry)
        return records

    def _told_apart(self) -> list[tuple[Identity, InventoryEntry]]:
        """The entries; one whose lines have lengths too far apart is several instruments, unless a person says no."""
        self._sizes_of_one_kind()
        return [part for identity, entry in self.entries.items() for part in self._by_length(identity, entry)]

    def _sizes_of_one_kind(self) -> None:
        """Ask of a kind that is listed with one number and without (`mirror #5`, `mirror`) whether it is the same."""
        for identity in [identity for identity in self.entries if len(identity) == 1]:
            others = [other for other in self.entries if len(other) == 2 and other[0] == identity[0]]
            if len(others) != 1 or not others[0][1][-1].isdigit():
                continue
            plain, sized = self.entries[identity], self.entries[others[0]]
            names = [entry.lines[0].text("name") for entry in (plain, sized)]
            if self.known.chosen("same", *others[0], among=("one", "two")) is None:
                self._ask(
                    Doubt(
                        about=("same", *others[0]),
                        asked=message("import.ask.same", one=names[0], other=names[1]),
                        choices={"one": message("import.choice.same"), "two": message("import.choice.two")},
                        suggested="one",
                        sure=0.6,
                        sources=(plain.lines[0].place(), sized.lines[0].place()),
                        needed=False,
                    )
                )

    def _by_length(self, identity: Identity, entry: InventoryEntry) -> list[tuple[Identity, InventoryEntry]]:
        """The lines of one instrument by their lengths, each group with the record of the folder that it fits."""
        groups = by_length(entry)
        base, ids = self.names.alike(identity[1]) if identity[0] == "id" else (identity, [])
        if len(groups) < 2 and len(ids) < 2:
            return [(identity, entry)]
        about = ("lengths", *base)
        answer = self.known.chosen(*about, among=("one", "two"))
        if answer == "one":
            return [(identity, entry)]
        named = fitting(groups, ids, self.names.lengths)
        new = [n for n in range(len(groups)) if n not in named]
        if len(new) + len(named) > 1 and new and answer is None:
            self._ask_lengths(about, entry)
        parts: list[tuple[Identity, InventoryEntry]] = []
        for n, (mark, lines) in enumerate(groups):
            is_first = n == 0 and not ids
            mine: Identity = ("id", named[n]) if n in named else base if is_first else (*base, mark)
            parts.append((mine, self._part(entry, lines)))
        return parts

    def _ask_lengths(self, about: tuple[str, ...], entry: InventoryEntry) -> None:
        lengths = ", ".join(dict.fromkeys(written for written, _ in entry.lengths))
        self._ask(
            Doubt(
                about=about,
                asked=message("import.ask.lengths", name=entry.lines[0].text("name"), lengths=lengths),
                choices={"two": message("import.choice.two"), "one": message("import.choice.one")},
                suggested="two",
                sure=0.6,
                sources=tuple(line.place("length") for _, line in entry.lengths),
                needed=False,
            )
        )

    def _part(self, entry: InventoryEntry, lines: list[Line]) -> InventoryEntry:
        inside = {id(line) for line in lines}
        part = InventoryEntry(entry.match, lines)
        part.lengths = [item for item in entry.lengths if id(item[1]) in inside]
        part.widths = [item for item in entry.widths if id(item[1]) in inside]
        part.prices = [item for item in entry.prices if id(item[1]) in inside]
        for attribute, field_ in (("on_hand", "stock"), ("in_repair", "in_repair")):
            counts = [count for line in lines if (count := self._counts.of(line, field_)) is not None]
            setattr(part, attribute, sum(counts) if counts else None)
        return part

    def _of_entry(self, id_: str, identity: Identity, entry: InventoryEntry) -> list[BroughtRecord]:
        first = entry.lines[0]
        is_old = identity[0] == "id"
        name = self.names.name_of(entry.match, first.text("name"), identity)
        fields: dict[str, Any] = {}
        usual: list[str] = []
        if not is_old:
            kind = entry.match.kind or "other-instrument"
            fields |= {"name": name, "drawing": kind}
            if "carbide" in entry.match.qualifiers:
                fields["material"] = "carbide-tipped"
            sizes = zip(("length", "width"), (entry.lengths, entry.widths), usual_size(kind), strict=True)
            for field_, measures, size in sizes:
                fields[field_] = measures[0][0] if measures else f"{size:g} mm"
                if not measures:
                    usual.append(field_)
        elif entry.lengths:
            fields["length"] = entry.lengths[0][0]
        if entry.prices:
            fields["price"] = _plain_price(entry.prices[0][0])
            for price, line in entry.prices:
                if price != entry.prices[0][0]:
                    self.unused.append(line.unused("price", message("import.unused.other-price")))
        for line in entry.lines:
            self._review(line, id_, name, entry)
        where = tuple(line.place() for line in entry.lines)
        records = [
            BroughtRecord(
                stem="instruments", id=id_, fields=fields, sources=where, usual=tuple(usual), notes=notes_of(entry)
            )
        ]
        if entry.on_hand is not None or entry.in_repair is not None:
            counts = {"on_hand": entry.on_hand or 0, "in_repair": entry.in_repair or 0}
            records.append(BroughtRecord(stem="stock", id=id_, fields=counts, sources=where))
        return records

    def _review(self, line: Line, id_: str, name: str, entry: InventoryEntry) -> None:
        written = line.text("name")
        answered = self.known.answer("names", written) is not None
        match = match_name(written, line.text("kind"))
        if folded(written) != folded(name) or len(entry.lines) > 1:
            self.merged.append(
                MergedName(
                    written=written,
                    meant=id_,
                    sure=1.0 if answered else max(match.sure, CERTAIN),
                    why=message("import.why.answered") if answered else match.why,
                    sources=(line.place(),),
                )
            )


def _signs(code: str) -> tuple[str, ...]:
    return {"EUR": ("€", "EUR"), "GBP": ("£", "GBP")}[code]


def _plain_price(price: Decimal) -> float | int:
    return int(price) if price == price.to_integral_value() else float(price)
