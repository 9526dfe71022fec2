"""The same in fewer bytes: what is opened in a basement with poor reception should not have to be waited for.

Styles and scripts go without the comments and indentation that are for whoever works on them. Our drawings are made of
many small paths that repeat their attributes; on a page they say them once.
"""

from __future__ import annotations

import re
from collections import Counter
from functools import lru_cache
from itertools import groupby

#: How a path is drawn, and what holds where it does not say (SVG 2, property index).
USUAL = {
    "fill": "#000000",
    "fill-rule": "nonzero",
    "stroke": "none",
    "stroke-width": "1",
    "stroke-linejoin": "miter",
    "stroke-linecap": "butt",
}

_COMMENTS = re.compile(r"/\*.*?\*/", re.DOTALL)
_BESIDE_BRACES = re.compile(r"\s*([{};])\s*")
_ELEMENTS = re.compile(r"<path [^>]*/>|[^<]*<[^>]*>[^<]*")
_PATH = re.compile(r'<path d="(M[^"]*)"([^>]*)/>')
_ATTRIBUTE = re.compile(r' ([a-z-]+)="([^"]*)"')
#: A path of the commands that our drawings use, all absolute (SVG 2, section 9.3).
_PLAIN = re.compile(r"[-MLCQZ0-9., ]*")
_PARTS = re.compile(r"([MLCQZ])([^MLCQZ]*)")
_NUMBER = re.compile(r"-?[0-9.]+")


def light(content: bytes, suffix: str) -> bytes:
    """A file of that suffix as a page gets it."""
    if suffix == ".svg":
        return light_svg(content)
    return {".css": light_css, ".js": light_js}.get(suffix, bytes)(content)


def light_css(style: bytes) -> bytes:
    """A style without comments and without the white space that nothing needs; ours has no text in quotes with any."""
    text = " ".join(_COMMENTS.sub("", style.decode()).split())
    return _BESIDE_BRACES.sub(r"\1", text).replace(";}", "}").encode()


def light_js(script: bytes) -> bytes:
    """A script without indentation and without the lines that only comment. Lines stay lines: they end statements."""
    lines = (line.strip() for line in script.decode().splitlines())
    return "".join(f"{line}\n" for line in lines if line and not line.startswith("//")).encode()


@lru_cache(maxsize=1024)
def light_svg(svg: bytes) -> bytes:
    """The drawing to a hundredth of a millimetre (a thousandth in ours), with what many paths say said once."""
    elements = [_Element(part) for part in _ELEMENTS.findall(svg.decode())]
    drawn = []
    for are_paths, group in groupby(elements, key=lambda element: bool(element.data)):
        run = list(group)
        drawn.append(_said_once(run) if are_paths else "".join(element.source for element in run))
    return "".join(drawn).encode()


class _Element:
    """A tag with the text beside it. `data` is empty for what is no path; `look` is how a path is drawn."""

    __slots__ = ("data", "look", "others", "source")

    def __init__(self, source: str) -> None:
        self.source = source
        found = _PATH.fullmatch(source)
        said = dict(_ATTRIBUTE.findall(found[2])) if found else {}
        self.data = short_path(found[1]) if found else ""
        self.look = {name: said.pop(name, usual) for name, usual in USUAL.items()}
        self.others = "".join(f' {name}="{value}"' for name, value in said.items())

    def differing(self, most: dict[str, str]) -> str:
        """The attributes in which this path is not as `most` are."""
        return "".join(f' {name}="{value}"' for name, value in self.look.items() if value != most[name]) + self.others


def _said_once(run: list[_Element]) -> str:
    most = {name: Counter(element.look[name] for element in run).most_common(1)[0][0] for name in USUAL}
    drawn = []
    for attributes, alike in groupby(run, key=lambda element: element.differing(most)):
        paths = list(alike)
        data = [path.data for path in paths]
        # Lines in one ink, one after the other, are one path; areas that overlap would punch holes into each other,
        # and where the ink is not opaque, so would lines.
        if paths[0].look["fill"] == "none" and "opacity" not in attributes:
            data = ["".join(data)]
        drawn += [f'<path d="{path}"{attributes}/>' for path in data]
    common = "".join(f' {name}="{value}"' for name, value in most.items() if value != USUAL[name])
    return f"<g{common}>{''.join(drawn)}</g>"


@lru_cache(maxsize=8192)
def short_path(data: str) -> str:
    """Path data with steps instead of places, in hundredths: each step counts from a rounded place, so no error grows.

    What has other commands than those of our drawings is left as it is.
    """
    if not _PLAIN.fullmatch(data):
        return data
    said, last = [], ""
    x = y = start_x = start_y = 0
    for command, numbers in _PARTS.findall(data):
        places = [round(float(number) * 100) for number in _NUMBER.findall(numbers)]
        if command == "M":
            x, y = start_x, start_y = places[0], places[1]
            said.append(f"M{_joined(places)}")
        elif command == "Z":
            x, y = start_x, start_y
            said.append("z")
        else:
            steps = [place - (y if odd else x) for place, odd in zip(places, _EVEN_ODD, strict=False)]
            x, y = places[-2], places[-1]
            text = _joined(steps)
            said.append((" " if text[0] not in "-" else "") + text if command == last else command.lower() + text)
        last = command
    return "".join(said)


_EVEN_ODD = (False, True) * 3


def _joined(hundredths: list[int]) -> str:
    """Numbers as short as SVG may write them: ``.5-.25 3``."""
    text = ""
    for value in hundredths:
        number = f"{value / 100:.2f}".rstrip("0").rstrip(".")
        number = number.replace("0.", ".", 1) if abs(value) < 100 else number
        text += number if not text or number[0] == "-" else f" {number}"
    return text
