"""The rules of PDF/UA-1 that a program can see, each asked of a finished PDF.

The rules and their numbers are those of veraPDF's open profile ``PDF_UA/PDFUA-1.xml``, which puts the machine-checkable
points of the Matterhorn Protocol into tests; no validator of it is in the registries. What our PDFs never have (forms,
layers, media, attachments, fonts that are not composite) is not judged by its rules: that it is not there is asked.

7.1-3, which an older profile has, is from memory. Glyphs (7.21.4.1-3, 7.21.5-1, 7.21.7-1, 7.21.8-1) are asked of what
pages show; of text inside pictures that stays unproven.
"""

from __future__ import annotations

import io
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Any

import pikepdf
from fontTools.ttLib import TTFont

Test = Callable[["Document"], bool]

#: Standard structure types of ISO 32000-1, 14.8.4, as far as a document of ours may use them.
STANDARD = frozenset(
    {"Document", "Part", "Art", "Sect", "Div", "Index", "NonStruct", "P", "H", *(f"H{n}" for n in range(1, 7))}
    | {"L", "LI", "Lbl", "LBody", "Table", "TR", "TH", "TD", "THead", "TBody", "TFoot", "Span", "Link", "Figure"}
    | {"TOC", "TOCI", "BlockQuote", "Caption", "Code", "Formula", "Quote", "Note", "Reference", "Annot", "Form"}
)

_SIMPLE_FONTS = ("/Type1", "/TrueType", "/Type3", "/MMType1")
_PAINTS = frozenset({"Tj", "TJ", "'", '"', "S", "s", "f", "F", "f*", "B", "B*", "b", "b*", "sh", "Do", "INLINE IMAGE"})


@dataclass(frozen=True, slots=True)
class Element:
    """An element of the structure tree: its standard type, that of what holds it, and those of what it holds."""

    kind: str
    parent: str
    kids: tuple[str, ...]
    entry: pikepdf.Dictionary

    def has(self, *keys: str) -> bool:
        return any(str(self.entry.get(key, "")).strip() for key in keys)


@dataclass(frozen=True, slots=True)
class Marked:
    """What a page paints: the tags around it, and for text the font and the codes that are shown."""

    around: tuple[str, ...]
    font: str = ""
    codes: tuple[int, ...] = ()


class Document:
    """A finished PDF as the rules see it."""

    def __init__(self, pdf: pikepdf.Pdf) -> None:
        self.pdf = pdf
        self.root = pdf.Root
        self.roles = {str(name)[1:]: str(role)[1:] for name, role in self._tree.get("/RoleMap", {}).items()}

    @property
    def _tree(self) -> Any:
        return self.root.get("/StructTreeRoot", pikepdf.Dictionary())

    def standard(self, kind: str) -> str:
        """The standard type behind a type; none where roles lead to none, or in a circle."""
        seen = {kind}
        while kind not in STANDARD:
            kind = self.roles.get(kind, "")
            if not kind or kind in seen:
                return ""
            seen.add(kind)
        return kind

    @cached_property
    def elements(self) -> list[Element]:
        return list(self._below(self._tree, ""))

    def _below(self, of: Any, parent: str) -> Iterator[Element]:
        for entry in kids_of(of):
            kind = self.standard(str(entry.S)[1:])
            yield Element(kind, parent, tuple(self.standard(str(kid.S)[1:]) for kid in kids_of(entry)), entry)
            yield from self._below(entry, kind)

    def of(self, *kinds: str) -> list[Element]:
        return [element for element in self.elements if element.kind in kinds]

    @cached_property
    def painted(self) -> list[tuple[pikepdf.Page, Marked]]:
        return [(page, marked) for page in self.pdf.pages for marked in painted_on(page)]

    @cached_property
    def annotations(self) -> list[tuple[pikepdf.Page, Any]]:
        return [(page, note) for page in self.pdf.pages for note in page.get("/Annots", [])]

    @cached_property
    def fonts(self) -> list[Any]:
        return [thing for thing in self.things if thing.get("/Type") == "/Font" and "/DescendantFonts" in thing]

    @cached_property
    def things(self) -> list[Any]:
        return [thing for thing in self.pdf.objects if isinstance(thing, pikepdf.Dictionary | pikepdf.Stream)]

    @cached_property
    def shown(self) -> dict[tuple[int, int], set[int]]:
        """The codes that pages show, by the font's number."""
        found: dict[tuple[int, int], set[int]] = {}
        for page, marked in self.painted:
            if marked.font:
                font = page.Resources.Font[marked.font]
                found.setdefault(font.objgen, set()).update(marked.codes)
        return found


def kids_of(entry: Any) -> list[pikepdf.Dictionary]:
    kids = entry.get("/K", [])
    of = kids if isinstance(kids, pikepdf.Array) else [kids]
    return [kid for kid in of if isinstance(kid, pikepdf.Dictionary) and "/S" in kid]


def descendant(font: Any) -> Any:
    return font.DescendantFonts[0]


def painted_on(page: pikepdf.Page) -> Iterator[Marked]:
    around: list[str] = []
    font = ""
    for step in pikepdf.parse_content_stream(page):
        operator, operands = str(step.operator), step.operands
        if operator in {"BDC", "BMC"}:
            around.append(str(operands[0])[1:])
        elif operator == "EMC":
            around.pop()
        elif operator == "Tf":
            font = str(operands[0])
        elif operator in _PAINTS:
            codes = tuple(_codes(operands)) if operator in {"Tj", "TJ", "'", '"'} else ()
            yield Marked(tuple(around), font if codes else "", codes)
        if operator in {"BDC", "BMC"} and len(around) > 1:  # a tag in a tag
            yield Marked(tuple(around))


def _codes(operands: Any) -> Iterator[int]:
    """Codes of two bytes each, as Identity-H has them."""
    for operand in operands:
        if isinstance(operand, pikepdf.Array):
            yield from _codes(operand)
        elif isinstance(operand, pikepdf.String):
            text = bytes(operand)
            yield from (int.from_bytes(text[at : at + 2], "big") for at in range(0, len(text), 2))


def unicode_of(font: Any) -> dict[int, str]:
    """What a font's ToUnicode says of its codes."""
    if "/ToUnicode" not in font:
        return {}
    source = font.ToUnicode.read_bytes().decode("latin-1")
    found: dict[int, str] = {}
    for section in re.findall(r"beginbfchar(.*?)endbfchar", source, re.S):
        for code, text in re.findall(r"<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>", section):
            found[int(code, 16)] = bytes.fromhex(text).decode("utf-16-be")
    for section in re.findall(r"beginbfrange(.*?)endbfrange", source, re.S):
        for first, last, text in re.findall(r"<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>", section):
            begin = bytes.fromhex(text).decode("utf-16-be")
            for n in range(int(first, 16), int(last, 16) + 1):
                found[n] = begin[:-1] + chr(ord(begin[-1]) + n - int(first, 16))
    return found


def _program(font: Any) -> TTFont | None:
    file = descendant(font).FontDescriptor.get("/FontFile2")
    return TTFont(io.BytesIO(file.read_bytes())) if file is not None else None


def _widths(font: Any) -> dict[int, float]:
    found: dict[int, float] = {}
    entries = list(descendant(font).get("/W", []))
    at = 0
    while at < len(entries):
        first = int(entries[at])
        if isinstance(entries[at + 1], pikepdf.Array):
            found.update({first + n: float(width) for n, width in enumerate(entries[at + 1])})
            at += 2
        else:
            found.update(dict.fromkeys(range(first, int(entries[at + 1]) + 1), float(entries[at + 2])))
            at += 3
    return found


def _widths_agree(of: Document) -> bool:
    for font in of.fonts:
        program, widths = _program(font), _widths(font)
        if program is None:
            return False
        names, unit = program.getGlyphOrder(), program["head"].unitsPerEm
        usual = float(descendant(font).get("/DW", 1000))
        for code in of.shown.get(font.objgen, ()):
            own = program["hmtx"][names[code]][0] * 1000 / unit
            if abs(widths.get(code, usual) - own) > 1:
                return False
    return True


def _glyphs_are_listed(of: Document) -> bool:
    """Where a subset lists its glyphs, it lists those that its font program has."""
    for font in of.fonts:
        program, listed = _program(font), descendant(font).FontDescriptor.get("/CIDSet")
        if listed is not None and program is not None:
            bits = "".join(f"{byte:08b}" for byte in listed.read_bytes())
            if {at for at, bit in enumerate(bits) if bit == "1"} != set(range(len(program.getGlyphOrder()))):
                return False
    return True


def _glyphs_are_there(of: Document) -> bool:
    programs = ((_program(font), of.shown.get(font.objgen, set())) for font in of.fonts)
    return all(p is not None and all(code < len(p.getGlyphOrder()) for code in codes) for p, codes in programs)


def _held(kids: Iterable[str], kinds: set[str]) -> bool:
    return set(kids) <= kinds


def _caption_at_an_end(kids: tuple[str, ...], *, last: bool) -> bool:
    captions = [at for at, kid in enumerate(kids) if kid == "Caption"]
    return not captions or (len(captions) == 1 and captions[0] in ({0, len(kids) - 1} if last else {0}))


def _headings_in_order(of: Document) -> bool:
    levels = [int(element.kind[1:]) for element in of.elements if re.fullmatch(r"H[1-6]", element.kind)]
    return all(level <= before + 1 for before, level in pairwise([0, *levels]))


def _languages(of: Document) -> list[str]:
    own = [str(element.entry.Lang) for element in of.elements if "/Lang" in element.entry]
    return [str(of.root.get("/Lang", "")), *own]


def _metadata(of: Document, key: str) -> str:
    if "/Metadata" not in of.root:
        return ""
    with of.pdf.open_metadata() as meta:
        return str(meta.get(key, ""))


def _parent(kind: str, *parents: str) -> Test:
    return lambda of: all(element.parent in parents for element in of.of(kind))


def _kids(kind: str, *kids: str) -> Test:
    return lambda of: all(_held(element.kids, set(kids)) for element in of.of(kind))


def _said(of: Document) -> bool:
    """All natural language is that of the document, which states it."""
    return bool(_languages(of)[0])


_ROWS = ("Table", "THead", "TBody", "TFoot")

RULES: dict[str, Test] = {
    "5-1": lambda of: bool(_metadata(of, "pdfuaid:part")),
    "5-2": lambda of: _metadata(of, "pdfuaid:part") == "1",
    "7.1-1": lambda of: not any("Artifact" in m.around[1:] for _, m in of.painted),
    "7.1-2": lambda of: not any("Artifact" in m.around[:-1] for _, m in of.painted),
    "7.1-3": lambda of: bool(of.painted) and all(m.around for _, m in of.painted),
    "7.1-4": lambda of: bool(of.root.MarkInfo.Marked) and not of.root.MarkInfo.get("/Suspects", False),
    "7.1-5": lambda of: all(element.kind for element in of.elements),
    "7.1-6": lambda of: all(of.standard(kind) for kind in of.roles),
    "7.1-7": lambda of: not set(of.roles) & STANDARD,
    "7.1-8": lambda of: "/Metadata" in of.root and of.root.Metadata.Type == "/Metadata",
    "7.1-9": lambda of: bool(_metadata(of, "dc:title").strip()),
    "7.1-10": lambda of: bool(of.root.get("/ViewerPreferences", pikepdf.Dictionary()).get("/DisplayDocTitle", False)),
    "7.2-1": lambda of: all("/ToUnicode" in font for font in of.fonts),
    **dict.fromkeys(("7.2-2", *(f"7.2-{n}" for n in (21, 22, 23, 24, 30, 31, 32, 33))), _said),
    "7.2-3": lambda of: all(
        _held(table.kids, {"TR", "THead", "TBody", "TFoot", "Caption"}) and _caption_at_an_end(table.kids, last=True)
        for table in of.of("Table")
    ),
    "7.2-4": _parent("TR", *_ROWS),
    "7.2-5": _parent("THead", "Table"),
    "7.2-6": _parent("TBody", "Table"),
    "7.2-7": _parent("TFoot", "Table"),
    "7.2-8": _parent("TH", "TR"),
    "7.2-9": _parent("TD", "TR"),
    "7.2-10": _kids("TR", "TH", "TD"),
    "7.2-11": lambda of: all(table.kids.count("THead") <= 1 for table in of.of("Table")),
    "7.2-12": lambda of: all(table.kids.count("TFoot") <= 1 for table in of.of("Table")),
    "7.2-13": lambda of: all("TBody" in table.kids for table in of.of("Table") if "TFoot" in table.kids),
    "7.2-14": lambda of: all("TBody" in table.kids for table in of.of("Table") if "THead" in table.kids),
    "7.2-17": _parent("LI", "L"),
    "7.2-18": _parent("LBody", "LI"),
    "7.2-19": lambda of: all(
        _held(one.kids, {"L", "LI", "Caption"}) and _caption_at_an_end(one.kids, last=False) for one in of.of("L")
    ),
    "7.2-20": _kids("LI", "Lbl", "LBody"),
    "7.2-26": _parent("TOCI", "TOC"),
    "7.2-27": lambda of: all(
        _held(one.kids, {"TOC", "TOCI", "Caption"}) and _caption_at_an_end(one.kids, last=False) for one in of.of("TOC")
    ),
    "7.2-29": lambda of: all(re.fullmatch(r"[a-zA-Z]{1,8}(-[a-zA-Z0-9]{1,8})*", code) for code in _languages(of)),
    "7.2-36": _kids("THead", "TR"),
    "7.2-37": _kids("TBody", "TR"),
    "7.2-38": _kids("TFoot", "TR"),
    "7.3-1": lambda of: all(figure.has("/Alt", "/ActualText") for figure in of.of("Figure")),
    "7.4.2-1": _headings_in_order,
    **dict.fromkeys(("7.4.4-1", "7.4.4-2", "7.4.4-3"), lambda of: not of.of("H")),
    "7.7-1": lambda of: all(formula.has("/Alt", "/ActualText") for formula in of.of("Formula")),
    "7.18.3-1": lambda of: all(page.get("/Tabs") == "/S" for page, _ in of.annotations),
    "7.18.5-1": lambda of: sum(map(_links, of.of("Link"))) == len(of.annotations),
    "7.18.5-2": lambda of: all(str(note.get("/Contents", "")).strip() for _, note in of.annotations),
    "7.21.3.2-1": lambda of: all("/CIDToGIDMap" in descendant(f) for f in of.fonts),
    "7.21.4.1-1": lambda of: all("/FontFile2" in descendant(f).FontDescriptor for f in of.fonts),
    "7.21.4.1-3": _glyphs_are_there,
    "7.21.4.2-2": _glyphs_are_listed,
    "7.21.5-1": _widths_agree,
    "7.21.7-1": lambda of: all(of.shown.get(f.objgen, set()) <= unicode_of(f).keys() for f in of.fonts),
    "7.21.7-2": lambda of: not any(set("\0\ufffe\ufeff") & set("".join(unicode_of(f).values())) for f in of.fonts),
    "7.21.8-1": lambda of: not any(0 in codes for codes in of.shown.values()),
    # What our PDFs never have is not judged by its rules: that it is not there is asked.
    **dict.fromkeys(("7.2-25", "7.18.4-1"), lambda of: "/AcroForm" not in of.root),
    **dict.fromkeys(("7.9-1", "7.9-2"), lambda of: not of.of("Note")),
    **dict.fromkeys(("7.10-1", "7.10-2"), lambda of: "/OCProperties" not in of.root),
    "7.11-1": lambda of: not any("/EF" in thing for thing in of.things),
    "7.16-1": lambda of: not of.pdf.is_encrypted,
    **dict.fromkeys(
        ("7.18.1-1", "7.18.1-2", "7.18.2-2", "7.18.6.2-1", "7.18.6.2-2", "7.18.8-1"),
        lambda of: all(note.Subtype == "/Link" for _, note in of.annotations),
    ),
    "7.20-1": lambda of: not any(thing.get("/Subtype") == "/Form" and "/Ref" in thing for thing in of.things),
    **dict.fromkeys(
        ("7.21.4.2-1", "7.21.6-1", "7.21.6-2", "7.21.6-3", "7.21.6-4"),
        lambda of: not any(thing.get("/Subtype") in _SIMPLE_FONTS for thing in of.things),
    ),
    **dict.fromkeys(
        ("7.21.3.1-1", "7.21.3.3-1", "7.21.3.3-2", "7.21.3.3-3"),
        lambda of: all(font.Encoding == "/Identity-H" for font in of.fonts),
    ),
}


def _links(link: Element) -> int:
    """How many annotations an element holds."""
    kids = link.entry.get("/K", [])
    of = kids if isinstance(kids, pikepdf.Array) else [kids]
    return sum(isinstance(kid, pikepdf.Dictionary) and kid.get("/Type") == "/OBJR" for kid in of)


def broken_rules(pdf: pikepdf.Pdf) -> set[str]:
    """The numbers of the rules that a PDF does not keep."""
    document = Document(pdf)
    return {rule for rule, kept in RULES.items() if not kept(document)}
