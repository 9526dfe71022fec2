"""Mutations of a practice folder: of its structure, its values, its bytes, its pictures, and which files there are.

A folder is a mapping from path to bytes. Every mutation takes its chances from one `random.Random`, so that a case is
made again from its number.
"""

from __future__ import annotations

import io
import random
from collections.abc import Callable
from typing import Any

import yaml
from PIL import Image

Files = dict[str, bytes]

#: Values that somebody, or some program, might write: other types, other units, other signs, other sizes.
VALUES: tuple[Any, ...] = (
    *(None, True, False, 0, -1, 1, 2.5, 10**15, 1e308, "", " ", "~", "yes", "8 am", "08:30", "25:00", "8:5"),
    *("always", "auto", "12%", "0%", "101%", "-5%", "8 in", "-8 in", "0 mm", "1e9 mm", "8in 3", "55 min", "0 min"),
    *("1 h 99 min", "10 days", "132 C", "999 F", "#ee8f1f", "teal", "circle", "core", "mirror", "teal-chair"),
    *("Teal chair", "CORE", "hand", "machine", "2026-11-25", "2026-02-30", "es", "xx", "https://sets.example.org/"),
    *("{n}", "{", "a: b", "- x", "!t", "&a", "*a", "#", "a\nb", "a\tb", "ñ", "字", "🦷", "e\u0301"),
    *(
        "6½ in",
        '6 1/2"',
        "1,234 mm",
        "6,5 in",
        "1 h 15",
        "1:15",
        0.15,
        "0,15",
        "8:50 AM",
        "8.50",
        1730,
        "$1,234",
        "12,50 €",
    ),
    *("1/0 in", "½", "PT1H", "weekly", "other-plier"),
    *("\u200b", "\u202e", "\x00"),
    *("x" * 70, "x" * 5000, [], {}, [[]], [None], ["hand"], ["8 am", "12:30"], ["Chair 2", "chair-2"], {"a": None}),
    *({"en": "x"}, {"en": ""}, {"en": ["x"]}, {"name": "x", "hex": "#000000"}, {"width": "6 in", "height": "4 in"}),
)
_PIECES = (
    *(
        "",
        "|",
        ": ",
        ":",
        "- ",
        "\t",
        "  ",
        "\n",
        "{",
        "}",
        "[",
        "]",
        "'",
        '"',
        "&a ",
        "*a",
        "!t ",
        "#",
        ">",
        "%",
        ",",
        ";",
    ),
    *("\r", "---\n", "? ", "<<: ", "\x00", "\ufeff", "\u2028", "\x85"),
)


def mutated(files: Files, chance: random.Random) -> Files:
    """Return the folder after one to three mutations."""
    files = dict(files)
    for _ in range(chance.choice((1, 1, 2, 3))):
        name = chance.choice(sorted(files))
        change = chance.choice(_CHANGES[name.rpartition(".")[2]])
        change(files, name, chance)
        if not files:
            break
    return files


def _bytes(files: Files, name: str, chance: random.Random) -> None:
    """Insert, delete, overwrite, repeat or cut off some bytes."""
    data = files[name]
    at = chance.randrange(len(data) + 1)
    length = chance.choice((0, 1, 1, 4, 40, 1000))
    new = chance.choice(
        (
            chance.choice(_PIECES).encode("utf-8", "surrogatepass"),
            chance.randbytes(chance.choice((1, 2, 8))),
            data[at : at + length] * 2,
            b"",
        )
    )
    files[name] = data[:at] + new + (b"" if chance.random() < 0.1 else data[at + length :])


def _lines(files: Files, name: str, chance: random.Random) -> None:
    """Drop, repeat, swap or indent lines."""
    lines = files[name].split(b"\n")
    one, two = chance.randrange(len(lines)), chance.randrange(len(lines))
    change = chance.randrange(4)
    if change == 0:
        del lines[one]
    elif change == 1:
        lines.insert(two, lines[one])
    elif change == 2:
        lines[one], lines[two] = lines[two], lines[one]
    else:
        lines[one] = b" " * chance.choice((1, 2, 4)) + lines[one]
    files[name] = b"\n".join(lines)


def _cells(files: Files, name: str, chance: random.Random) -> None:
    """Put another value into a cell of a table, or other signs between its cells."""
    rows = [line.split(b",") for line in files[name].split(b"\n")]
    row = chance.choice(rows)
    row[chance.randrange(len(row))] = str(chance.choice(VALUES)).encode("utf-8", "surrogatepass")
    sign = chance.choice((b",", b",", b",", b";", b"\t"))
    files[name] = b"\n".join(sign.join(cells) for cells in rows)


def _values(files: Files, name: str, chance: random.Random) -> None:
    """Put another value into the place of one, whatever it was."""

    def change(holder: Any, key: Any, data: Any) -> None:
        holder[key] = chance.choice(VALUES)

    _at_some_place(files, name, chance, change)


def _structure(files: Files, name: str, chance: random.Random) -> None:
    """Delete, rename, move, wrap or copy a part of a YAML file."""

    def change(holder: Any, key: Any, data: Any) -> None:
        part = holder[key]
        kind = chance.randrange(5)
        if kind == 0:
            del holder[key]
        elif kind == 1 and isinstance(holder, dict):
            holder[str(chance.choice(VALUES))[:80]] = holder.pop(key)
        elif kind == 2:
            holder[key] = chance.choice(([part], {"name": part}, {str(key): part}, [part, part]))
        else:
            other, at, _ = chance.choice(_places(data))
            other[at] = yaml.safe_load(yaml.safe_dump(part))

    _at_some_place(files, name, chance, change)


def _at_some_place(files: Files, name: str, chance: random.Random, change: Callable[[Any, Any, Any], None]) -> None:
    """Change a YAML file as data and write it again; a file that is no YAML any more is left as it is."""
    try:
        data = yaml.load(files[name], yaml.CSafeLoader)
        holder, key, _ = chance.choice(_places(data))
        change(holder, key, data)
        files[name] = yaml.dump(data, Dumper=yaml.CSafeDumper, allow_unicode=True, sort_keys=False).encode("utf-8")
    except (yaml.YAMLError, IndexError, UnicodeError, RecursionError, ValueError):
        return


def _places(data: Any) -> list[tuple[Any, Any, int]]:
    """Every place of a value, as its holder, its key and how deep it lies."""
    found, waiting = [], [(data, 0)]
    while waiting:
        holder, depth = waiting.pop()
        keys = list(holder) if isinstance(holder, dict) else range(len(holder)) if isinstance(holder, list) else ()
        for key in keys:
            found.append((holder, key, depth))
            waiting.append((holder[key], depth + 1))
    return found


def _picture(files: Files, name: str, chance: random.Random) -> None:
    """Save a picture in another format, mode or size, or as one whose header lies about its size."""
    mode = chance.choice(("RGB", "L", "1", "P", "RGBA", "CMYK", "I;16"))
    size = chance.choice(((1, 1), (3, 500), (64, 48), (640, 480)))
    kind, progressive = chance.choice(("PNG", "JPEG", "WEBP", "GIF")), chance.random() < 0.5
    out = io.BytesIO()
    try:
        Image.new(mode, size).save(out, kind, progressive=progressive)
    except (OSError, ValueError):  # a mode that the format does not have
        return
    data = bytearray(out.getvalue())
    if chance.random() < 0.3 and data[1:4] == b"PNG":
        data[16:24] = chance.randbytes(8)  # width and height (PNG specification, 11.2.2 IHDR)
    files[name] = bytes(data)


def _whole_file(files: Files, name: str, chance: random.Random) -> None:
    """Delete, empty, rename or exchange a file."""
    kind = chance.randrange(4)
    if kind == 0:
        del files[name]
    elif kind == 1:
        files[name] = chance.choice((b"", b"\n", b"\xef\xbb\xbf", b"null", b"[]", b"{}", b"- x\n"))
    elif kind == 2:
        folder, _, file = name.rpartition("/")
        files[f"{folder}/{chance.choice(('X', 'con', 'a b', '.x', 'ñ'))}{file}".lstrip("/")] = files.pop(name)
    else:
        other = chance.choice(sorted(files))
        files[name], files[other] = files[other], files[name]


_TEXT = (_bytes, _bytes, _lines, _whole_file)
_CHANGES: dict[str, tuple[Callable[[Files, str, random.Random], None], ...]] = {
    "yaml": (*_TEXT, _values, _values, _values, _structure, _structure),
    "csv": (*_TEXT, _cells, _cells),
    **dict.fromkeys(("md", "svg"), _TEXT),
    **dict.fromkeys(("png", "jpg", "webp"), (_bytes, _bytes, _picture, _picture, _whole_file)),
}
