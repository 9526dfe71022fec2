"""How a value is written in a YAML file: as the one before it was, where that can be read back as just this value."""

from __future__ import annotations

import json
import re
import textwrap
from decimal import Decimal
from typing import Any

import yaml

from kitdocs.practice.editing.nodes import BREAK, Node, nodes_of
from kitdocs.practice.reading.text_file import UNPRINTABLE
from kitdocs.practice.reading.yaml_file import plain
from kitdocs.practice.writing import quoted

_WIDTH = 120
#: What other programs that read YAML take for something else than a text.
_OTHERWISE = re.compile(
    r"(?i:yes|no|on|off|y|n)|\d{4}-\d\d?-\d\d?|[-+]?\d[\d_]*|0[xob][\da-fA-F]+|[-+.]?\d+[eE][-+]?\d+"
)


def written_scalar(value: Any, like: Node | None = None, *, flow: bool, indent: int = 0, eol: str = "\n") -> str:
    """Return a number, text or truth value as it is written, in quotes where it must be.

    `like` is what stood there before, whose quotes, decimals and folding are kept. `flow`: within brackets, where
    a comma ends a value. `indent` is the number of blanks before the lines of a folded text.
    """
    if value is None or isinstance(value, bool):
        return json.dumps(value)
    if not isinstance(value, str):
        return _number(value, like)
    text: str = value
    style = like.style if like else ""
    folded = _folded(text, style, indent, eol) if style in ("|", ">") and not flow else ""
    if style == "'" and not BREAK.search(text) and not UNPRINTABLE.search(text) and text.isprintable():
        return "'" + text.replace("'", "''") + "'"
    return folded or (text if style != '"' and _is_plain(text, flow) else quoted(text))


def written_value(value: Any, *, flow: bool = True, like: Node | None = None) -> str:
    """Return any value on one line, maps and lists in brackets. A list of one pair in a list has no braces."""
    if isinstance(value, dict):
        return "{" + ", ".join(_pair(key, part) for key, part in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(written_item(item) for item in value) + "]"
    return written_scalar(value, like, flow=flow)


def written_item(item: Any, *, flow: bool = True) -> str:
    """Return an item of a list, ``mirror: 2`` without braces."""
    if isinstance(item, dict) and len(item) == 1 and (not flow or not isinstance(next(iter(item.values())), list)):
        ((key, value),) = item.items()
        inner = flow or isinstance(value, dict | list)
        return f"{written_key(key, flow=flow)}: {written_value(value, flow=inner)}"
    return written_value(item, flow=flow)


def written_key(key: str, *, flow: bool) -> str:
    """Return a key, in quotes where it must be."""
    return key if key and _is_plain_text(key, flow, as_key=True) else quoted(key)


def _pair(key: str, value: Any) -> str:
    return f"{written_key(key, flow=True)}: {written_value(value)}"


def _number(value: int | float, like: Node | None) -> str:
    text = format(Decimal(repr(value)), "f")
    before = like.text if like and not like.style else ""
    decimals = len(before.partition(".")[2]) if re.fullmatch(r"-?\d*\.\d+", before) else 0
    if decimals and len(text.partition(".")[2]) <= decimals:
        return f"{Decimal(text):.{decimals}f}"
    if isinstance(value, float) and text.endswith(".0") and value.is_integer() and not decimals:
        return text[:-2]
    return text


def _is_plain(value: str, flow: bool) -> bool:
    """Whether a text without quotes is read as itself, by other programs too."""
    return plain(value) == value and not _OTHERWISE.fullmatch(value) and _is_plain_text(value, flow)


def _is_plain_text(value: str, flow: bool, *, as_key: bool = False) -> bool:
    if value != value.strip() or "\t" in value or UNPRINTABLE.search(value) or BREAK.search(value) or "\ufeff" in value:
        return False
    if flow and "?" in value:  # PyYAML's scanner in Python ends a text there, the one in C does not
        return False
    key, other = (value, "x") if as_key else ("x", value)
    # What may stand in brackets may come to stand without them: a lone dash there begins a list.
    texts = [f"{key}: {other}\nz: z\n", *([f"{{{key}: {other}, z: z}}"] if flow else [])]
    return all(_is_read_plain(text, value, as_key) for text in texts)


def _is_read_plain(text: str, value: str, as_key: bool) -> bool:
    try:
        node = nodes_of(text)
    except yaml.YAMLError:
        return False
    if node is None or len(node.entries) != 2 or any(part.kind != "scalar" or part.anchor for part in node.parts):
        return False
    found = node.entries[0][0 if as_key else 1]
    return found.text == value and found.style == "" and text[found.start : found.end] == value


def _folded(value: str, style: str, indent: int, eol: str) -> str:
    """Return a text on lines of its own below its key; '' where it cannot be written so."""
    lines = (
        value.split("\n") if style == "|" else textwrap.wrap(value, max(40, _WIDTH - indent), break_long_words=False)
    )
    joined = "\n".join(lines) if style == "|" else " ".join(lines)
    odd = any(not line or line != line.strip() or UNPRINTABLE.search(line) or BREAK.search(line) for line in lines)
    if odd or joined != value or not lines:
        return ""
    return f"{style}-{eol}" + eol.join(" " * indent + line for line in lines)
