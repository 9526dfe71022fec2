"""The same in fewer bytes: what is opened in a basement with poor reception should not have to be waited for.

Styles and scripts go without the comments and indentation that are for whoever works on them. Our drawings are made of
many small paths that repeat their attributes; on a page they say them once.
"""

from __future__ import annotations

import re
from collections import Counter
from functools import cache, lru_cache
from itertools import cycle, groupby

#: How a path is drawn, and what holds where it does not say (SVG 2, property index).
USUAL = {
    "fill": "#000",
    "fill-rule": "nonzero",
    "stroke": "none",
    "stroke-width": "1",
    "stroke-linejoin": "miter",
    "stroke-linecap": "butt",
}

_COMMENTS = re.compile(r"/\*.*?\*/", re.DOTALL)
_AT_THE_END = re.compile(r"(?<=[;,{}]) +// .*$")
_COMBINED = re.compile(r" ([>~]) ")
_DOUBLED = re.compile(r"^#(.)\1(.)\2(.)\3$")
_TEXTS = re.compile(r'("[^"]*")')
#: What may begin a text with other rules, or hide where one ends.
_UNSURE = re.compile(r"['`/\\]")
_BESIDE_SIGNS = re.compile(r" *([=<>&|?:;,{}()\[\]!]+) *")
_BESIDE_BRACES = re.compile(r"\s*([{};])\s*")
_AFTER_A_NAME = re.compile(r"((?<=[{;])[-a-z]+:) ")
_PLAIN_VALUE = re.compile(r'="([a-z][-a-z]*)"\]')
_CONDITION = re.compile(r"(\([-a-z]+:) ")
_NOUGHT = re.compile(r"(?<=[ :,(-])0\.")
_ELEMENTS = re.compile(r"<path [^>]*/>|[^<]*<[^>]*>[^<]*")
#: A path of the commands that our drawings use, all absolute (SVG 2, section 9.3); any other is left as it is.
_PATH = re.compile(r'<path d="(M[-MLCQZ0-9., ]*)"([^>]*)/>')
_HEAD = re.compile(r'(<svg [^>]*viewBox=")([-0-9. ]+)">')
_ATTRIBUTE = re.compile(r' ([a-z-]+)="([^"]*)"')
_PARTS = re.compile(r"([MLCQZ])([^MLCQZ]*)")
_NUMBER = re.compile(r"-?[0-9.]+")


def light(content: bytes, suffix: str) -> bytes:
    """A file of that suffix as a page gets it."""
    return {".css": minify_css, ".js": minify_js}.get(suffix, bytes)(content)


def minify_css(style: bytes) -> bytes:
    """A style without comments and without the white space that nothing needs; ours has no text in quotes with any."""
    text = _BESIDE_BRACES.sub(r"\1", " ".join(_COMMENTS.sub("", style.decode()).split()))
    text = _CONDITION.sub(r"\1", _PLAIN_VALUE.sub(r"=\1]", _COMBINED.sub(r"\1", text)))
    return _NOUGHT.sub(".", _AFTER_A_NAME.sub(r"\1", text)).replace(", ", ",").replace(";}", "}").encode()


def minify_js(script: bytes) -> bytes:
    """A script without indentation, comments and, outside of its texts, needless space. Lines end statements."""
    lines = (_AT_THE_END.sub("", line).strip() for line in script.decode().splitlines())
    lines = (line if _UNSURE.search(line) else _without_space(line) for line in lines)
    return "".join(f"{line}\n" for line in lines if line and not line.startswith("//")).encode()


def _without_space(line: str) -> str:
    parts = _TEXTS.split(line)  # every second one is a text
    return "".join(
        part if odd else _BESIDE_SIGNS.sub(r"\1", part) for part, odd in zip(parts, cycle((False, True)), strict=False)
    )


@lru_cache(maxsize=1024)
def minify_svg(svg: bytes, decimals: int = 2) -> bytes:
    """The drawing with so many decimals of a millimetre (ours have three), and what many paths say said once.

    A drawing of nothing but paths is in units of its last decimal, which then needs no point.
    """
    text = svg.decode()
    elements = [_Element(part) for part in _ELEMENTS.findall(text)]
    head = _HEAD.match(text)
    if head and all(element.data and not element.others for element in elements[1:-1]):
        unit = 10**decimals
        box = " ".join(_number(float(value) * unit) for value in head[2].split())
        return f'{head[1]}{box}">{_said_once(elements[1:-1], unit, 1)}</svg>'.encode()
    drawn = []
    for are_paths, group in groupby(elements, key=lambda element: bool(element.data)):
        run = list(group)
        drawn.append(_said_once(run, 1, 10**decimals) if are_paths else "".join(element.source for element in run))
    return "".join(drawn).encode()


class _Element:
    """A tag with the text beside it. `data` is empty for what is no path; `look` is how a path is drawn."""

    __slots__ = ("data", "look", "others", "source")

    def __init__(self, source: str) -> None:
        self.source = source
        found = _PATH.fullmatch(source)
        said = dict(_ATTRIBUTE.findall(found[2])) if found else {}
        self.data = found[1] if found else ""
        self.look = {name: _short_value(said.pop(name, usual)) for name, usual in USUAL.items()}
        self.others = "".join(f' {name}="{value}"' for name, value in said.items())

    @property
    def is_line(self) -> bool:
        """Whether it may be one path with others of its look. Areas that overlap would punch holes into each other."""
        return self.look["fill"] == "none" and not self.others  # where the ink is not opaque, lines would show, too

    def differing(self, most: dict[str, str]) -> str:
        """The attributes in which this path is not as `most` are, as far as it shows."""
        unseen = tuple(name for name in ("stroke", "fill") if self.look[name] == "none")
        said = {name: value for name, value in self.look.items() if value != most[name]}
        seen = {name: value for name, value in said.items() if name in unseen or not name.startswith(unseen or "-")}
        return "".join(f' {name}="{value}"' for name, value in seen.items()) + self.others


def _said_once(run: list[_Element], scale: int, parts: int) -> str:
    """The paths in a group that says what most of them say: `scale` times as large, in `parts` of a unit."""
    paths = run[:1]
    for element in run[1:]:
        if element.is_line and paths[-1].is_line and element.look == paths[-1].look:
            paths[-1].data += element.data
        else:
            paths.append(element)
    for path in paths:
        path.look["stroke-width"] = _number(float(path.look["stroke-width"]) * scale)
    most = {name: Counter(path.look[name] for path in paths).most_common(1)[0][0] for name in USUAL}
    drawn = (f'<path d="{short_path(path.data, scale * parts, parts)}"{path.differing(most)}/>' for path in paths)
    common = "".join(f' {name}="{value}"' for name, value in most.items() if value != USUAL[name])
    return f"<g{common}>{''.join(drawn)}</g>"


def _number(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".").removeprefix("0") or "0"


@cache
def _short_value(value: str) -> str:
    """``.7`` for ``0.7``, ``#fff`` for ``#ffffff``."""
    return _DOUBLED.sub(r"#\1\2\3", value.removeprefix("0") if value.startswith("0.") else value)


@lru_cache(maxsize=8192)
def short_path(data: str, fine: int, parts: int) -> str:
    """Path data with steps instead of places, each counted from a rounded place, so that no error grows.

    Places are rounded to one part in `fine` of a millimetre and written with `parts` of them to the unit.
    """
    said, last = [], ""
    x = y = start_x = start_y = 0
    for command, numbers in _PARTS.findall(data):
        places = [round(float(number) * fine) for number in _NUMBER.findall(numbers)]
        if command == "Z":
            x, y = start_x, start_y
            said.append("z")
        else:
            steps = [place - (y if odd else x) for place, odd in zip(places, _EVEN_ODD, strict=False)]
            x, y = places[-2], places[-1]
            if command == "M":
                start_x, start_y = x, y
            text = _joined(steps, parts)
            # A line that follows a move, and what is said again, needs no letter (SVG 2, section 9.3.3 and 9.3.4).
            again = command != "M" and (command == last or (command, last) == ("L", "M"))
            said.append((" " if again and text[0] != "-" else "" if again else command.lower()) + text)
        last = command
    return "".join(said)


_EVEN_ODD = (False, True) * 3


def _joined(values: list[int], parts: int) -> str:
    """Numbers in parts of a unit as short as SVG may write them: ``.5-.25.5 3``."""
    text, before = "", ""
    for value in values:
        number = str(value) if parts == 1 else _number(abs(value) / parts)
        number = f"-{number}" if value < 0 and parts != 1 else number
        apart = "" if not text or number[0] == "-" or (number[0] == "." and "." in before) else " "
        text, before = f"{text}{apart}{number}", number
    return text
