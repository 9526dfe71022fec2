"""Instruments as the practice draws them: SVG files, of which only shapes are kept.

No script, link, text, picture or reference reaches a page. What is kept is written anew from lists of what is known to
be a shape or its look (SVG 1.1, chapters 5, 7, 9 and 11); whatever else a drawing program writes is left out.
"""

from __future__ import annotations

import hashlib
import math
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from xml.etree import ElementTree
from xml.sax.saxutils import quoteattr

from kitdocs.practice.own_drawing import OwnDrawing
from kitdocs.practice.problems import Problem
from kitdocs.practice.reading.text_file import TextFile, file_problem, read_text

MOST_ELEMENTS = 5000
MOST_NESTED = 30
#: A value longer than this, in letters, is none, save the outline of a path.
LONGEST = 500
_SVG = "{http://www.w3.org/2000/svg}"
_NUMBER = re.compile(r"[-+]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d{1,2})?")
#: Each form is tried on a value of at most `LONGEST` letters, and has one way only to fit it: none can be made slow.
_LENGTH = re.compile(rf"({_NUMBER.pattern})(?:px|mm|cm|in|pt|pc)?")
_COLOUR = re.compile(r"#[0-9a-fA-F]{3}(?:[0-9a-fA-F]{3})?|[a-zA-Z]{3,20}|rgb\([\d ,.%]{1,40}\)")
_PLAIN_NUMBERS = re.compile(r"[-+\d.eE ,%pxm]+")
_MOVE = r"(?:matrix|translate|scale|rotate|skewX|skewY) ?\([-+\d.eE ,]+\)"
_MOVES = re.compile(rf"{_MOVE}(?:[ ,]*{_MOVE})*")
_WORD = re.compile(r"[a-z]{1,12}(?:-[a-z]{1,12})?")
#: What may be said of a shape, and how.
_LOOKS: Mapping[str, re.Pattern[str]] = {
    **dict.fromkeys(("fill", "stroke"), _COLOUR),
    **dict.fromkeys(
        ("stroke-width", "stroke-miterlimit", "stroke-dasharray", "stroke-dashoffset"),
        _PLAIN_NUMBERS,
    ),
    **dict.fromkeys(("opacity", "fill-opacity", "stroke-opacity"), _PLAIN_NUMBERS),
    **dict.fromkeys(("fill-rule", "stroke-linecap", "stroke-linejoin"), _WORD),
    "transform": _MOVES,
}
_PATH = re.compile(r"[MmZzLlHhVvCcSsQqTtAaeE\d ,.+-]+")
_POINTS = re.compile(r"[eE\d ,.+-]+")
#: The shapes, and where each says what it looks like.
_SHAPES: Mapping[str, Mapping[str, re.Pattern[str]]] = {
    "path": {"d": _PATH},
    "rect": dict.fromkeys(("x", "y", "width", "height", "rx", "ry"), _LENGTH),
    "circle": dict.fromkeys(("cx", "cy", "r"), _LENGTH),
    "ellipse": dict.fromkeys(("cx", "cy", "rx", "ry"), _LENGTH),
    "line": dict.fromkeys(("x1", "y1", "x2", "y2"), _LENGTH),
    "polyline": {"points": _POINTS},
    "polygon": {"points": _POINTS},
}
#: Groups: what is inside is looked at. A link loses its address.
_GROUPS = ("g", "a", "svg")
#: What shows nothing, and is left out without a word.
_SILENT = ("title", "desc", "metadata", "defs", "style")
#: In place of a gradient or pattern, which are no shapes.
_INSTEAD = "#d0d0d3"


def read_own_drawing(folder: Path, name: str) -> tuple[OwnDrawing | None, list[Problem]]:
    """Return the drawing in an SVG file of the folder if it can be used, and what is wrong or left out."""
    at = ("drawings", Path(name).stem)
    source = read_text(folder, name, at)
    if isinstance(source, Problem):
        return None, [source]
    text = _without_document_type(source.text)
    if "<!DOCTYPE" in text:
        return None, [source.problem("drawing-file.entities", source.place(1))]
    try:
        root = ElementTree.fromstring(text)
    except ElementTree.ParseError as error:
        return None, [source.problem("drawing-file.broken", source.place_of(_index(text, *error.position)))]
    return _cleaned(source, root)


def _without_document_type(text: str) -> str:
    """Return the text with blanks in place of a document type that defines nothing."""
    before, found, after = text.partition("<!DOCTYPE")
    type_, end, rest = after.partition(">")
    if not found or "[" in type_:
        return text
    return before + re.sub(r"[^\n]", " ", found + type_ + end) + rest


def _index(text: str, line: int, column: int) -> int:
    """Return the index of the letter at a line, from 1, and a column, from 0. XML knows fewer ends of a line."""
    lines = re.split("(?<=\n)|(?<=\r)(?!\n)", text)
    return sum(map(len, lines[: line - 1])) + min(column, len(lines[line - 1]) if line <= len(lines) else 0)


def _cleaned(source: TextFile, root: ElementTree.Element) -> tuple[OwnDrawing | None, list[Problem]]:
    box = _view_box(root)
    if _name(root) != "svg" or box is None:
        return None, [source.problem("drawing-file.size", source.place(1))]
    cleaner = _Cleaner(root)
    if sum(1 for _ in root.iter()) > MOST_ELEMENTS:
        return None, [source.problem("drawing-file.too-much", source.place(1), most=MOST_ELEMENTS)]
    body = "".join(cleaner.inside(root))
    if not cleaner.shapes:
        return None, [source.problem("drawing-file.empty", source.place(1))]
    view = " ".join(f"{part:.6g}" for part in box)
    own = OwnDrawing(
        svg=f'<svg xmlns="http://www.w3.org/2000/svg" width="18mm" height="22mm" viewBox="{view}">{body}</svg>',
        digest=hashlib.sha256((view + body).encode()).hexdigest()[:10],
    )
    if not cleaner.left_out:
        return own, []
    what = ", ".join(sorted(cleaner.left_out))
    return own, [file_problem(source.name, source.at, "drawing-file.left-out", severity="warning", what=what)]


def _name(element: ElementTree.Element) -> str:
    """The name of an element of SVG; '' for one of another language (a drawing program's own notes)."""
    tag = element.tag if isinstance(element.tag, str) else ""
    return "" if tag.startswith("{") and not tag.startswith(_SVG) else tag.removeprefix(_SVG)


def _view_box(root: ElementTree.Element) -> tuple[float, float, float, float] | None:
    """The part of the plane that is shown: by its view box, else by its width and height."""
    written = root.get("viewBox", "").replace(",", " ").split()
    if len(written) != 4:
        sides = [_LENGTH.fullmatch(root.get(side, "")[:LONGEST].strip()) for side in ("width", "height")]
        written = ["0", "0", *(side[1] if side else "0" for side in sides)]
    if not all(len(part) <= LONGEST and _NUMBER.fullmatch(part) for part in written):
        return None
    x, y, width, height = map(float, written)
    fits = all(math.isfinite(part) and abs(part) < 1e6 for part in (x, y, width, height))
    return (x, y, width, height) if fits and min(width, height) > 0 else None


class _Cleaner:
    """One walk through a drawing: the elements that are kept, the names of those that are not, how many shapes."""

    def __init__(self, root: ElementTree.Element) -> None:
        self.left_out: set[str] = set()
        self.shapes = 0
        self._classes = dict(_looks_of_classes(root))

    def inside(self, parent: ElementTree.Element, depth: int = 0) -> Iterator[str]:
        """Yield what is kept of each element in another one."""
        for element in parent:
            name = _name(element)
            looks = self._looks(element)
            if looks.get("display") == "none" or looks.get("visibility") == "hidden":
                continue
            if name in _SHAPES:
                self.shapes += 1
                outline = dict(_fitting(_SHAPES[name], element.attrib))
                yield f"<{name}{_written({**outline, **_known(looks)})}/>"
            elif name in _GROUPS and depth < MOST_NESTED:
                yield f"<g{_written(_known(looks))}>"
                yield from self.inside(element, depth + 1)
                yield "</g>"
            elif name and name not in _SILENT:
                self.left_out.add(name if re.fullmatch(r"[A-Za-z]{1,30}", name) else "something unknown")

    def _looks(self, element: ElementTree.Element) -> dict[str, str]:
        """What is said of an element: by its attributes, its classes and its own style, each before the next."""
        looks = {key: value for key, value in element.attrib.items() if not key.startswith("{")}
        for name in element.get("class", "").split():
            looks |= self._classes.get(name, {})
        return looks | dict(_declared(element.get("style", "")))


def _looks_of_classes(root: ElementTree.Element) -> Iterator[tuple[str, dict[str, str]]]:
    """Yield the looks that style sheets in the drawing give to a class (``.a, .b {fill: none}``)."""
    found: dict[str, dict[str, str]] = {}
    for sheet in root.iter():
        for rule in (sheet.text or "").split("}") if _name(sheet) == "style" else ():
            selectors, _, looks = rule.partition("{")
            for name in selectors.split(","):
                if name.strip().startswith("."):
                    found.setdefault(name.strip()[1:], {}).update(_declared(looks))
    yield from found.items()


def _declared(style: str) -> Iterator[tuple[str, str]]:
    for part in style.split(";"):
        key, colon, value = part.partition(":")
        if colon:
            yield key.strip(), value.replace("!important", "")


def _known(looks: Mapping[str, str]) -> dict[str, str]:
    """What is said of a look in a way that is known to be harmless."""
    kept = dict(_fitting(_LOOKS, looks))
    for key in ("fill", "stroke"):
        if "url(" in looks.get(key, ""):
            kept[key] = _INSTEAD
    return kept


def _fitting(forms: Mapping[str, re.Pattern[str]], attributes: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """Yield the attributes that have the form they must have, with one blank wherever there were several."""
    for key, form in forms.items():
        value = " ".join(attributes.get(key, "").split())
        if (len(value) <= LONGEST or form in (_PATH, _POINTS)) and form.fullmatch(value):
            yield key, value


def _written(attributes: Mapping[str, str]) -> str:
    return "".join(f" {key}={quoteattr(value)}" for key, value in attributes.items())
