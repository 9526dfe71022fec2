"""An act of printing, written into the practice folder: readable, and the same bytes on every machine."""

from __future__ import annotations

import json
import os
import re
import tempfile
import time
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from kitdocs.practice.printed import PRINTED, PrintAct, PrintedCard
from kitdocs.practice.problems import PublishError
from kitdocs.practice.reading.printed_folder import LARGEST_ACT
from kitdocs.practice.reading.text_file import UNPRINTABLE
from kitdocs.practice.reading.yaml_file import plain

_HEAD = "# What was printed and hung on this day. kitdocs wrote this file and never changes it; leave it as it is.\n"
#: How a file is named until it is whole; eight characters follow.
_BESIDE = ".kitdocs-"
_AN_HOUR = 3600.0
#: What the reader takes for no text, or for the end of a line.
_UNSAFE = re.compile(f"{UNPRINTABLE.pattern}|[\x85\u2028\u2029]")
#: What YAML takes for plain words without quotes, wherever it stands.
_WORDS = re.compile(r"[^\W\d_](?:[\w /.()·×–-]*[\w)])?")


def write_act(folder: Path, name: str, act: PrintAct) -> Path:
    """Write the act as the file `name`.yaml of the folder's ``printed``; whole, or not at all.

    Raises `PublishError` when it cannot be written, is too large to be read again, or when another act has that name.
    """
    text = act_text(act).encode()
    target = folder / PRINTED / f"{name}.yaml"
    if len(text) > LARGEST_ACT:
        raise PublishError("this is too much for one record of printing; record it in parts, with --cards")
    try:
        target.parent.mkdir(exist_ok=True)
        if target.exists() and target.read_bytes() != text:
            raise PublishError(f"{target} is there already and says something else")
        write_whole(target, text)
    except OSError as error:
        raise PublishError(f"could not write {target}: {error.strerror or error}; nothing was recorded") from error
    return target


def write_whole(target: Path, content: bytes) -> None:
    """Write a file so that nobody ever finds half of it, and what was there stays until the new one is whole.

    Raises `OSError`.
    """
    _clear_leftovers(target.parent)
    opened, beside = tempfile.mkstemp(prefix=_BESIDE, dir=target.parent)
    try:
        with os.fdopen(opened, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        Path(beside).chmod(0o644)
        Path(beside).replace(target)
    except BaseException:
        Path(beside).unlink(missing_ok=True)
        raise


def _clear_leftovers(folder: Path) -> None:
    """Away with what a killed run left; what is younger than an hour may be another run's, still at work."""
    for left in folder.glob(_BESIDE + "?" * 8):
        if left.is_file() and time.time() - left.stat().st_mtime > _AN_HOUR:
            left.unlink(missing_ok=True)


def act_text(act: PrintAct) -> str:
    """The act as YAML."""
    return _HEAD + "\n".join(_lines(act)) + "\n"


def _lines(act: PrintAct) -> Iterator[str]:
    yield f"date: {act.date}"
    if act.by:
        yield f"by: {_scalar(act.by)}"
    if act.follows:
        yield f"follows: [{', '.join(act.follows)}]"
    if act.cards:
        yield "cards:"
    for card in act.cards:
        yield from _card(card)
    if act.taken_out:
        yield "taken_out:"
    for gone in act.taken_out:
        yield f"- {{card: {_scalar(gone.card)}, language: {gone.language}}}"
    yield from _table("figures", act.figures)
    yield from _table("inputs", act.inputs)


def _card(card: PrintedCard) -> Iterator[str]:
    yield f"- card: {_scalar(card.card)}"
    yield f"  language: {card.language}"
    yield f"  edition: {_scalar(card.edition)}"
    yield f"  title: {_scalar(card.title)}"
    for name in ("subtitle", "section", "hangs", "place"):
        if value := getattr(card, name):
            yield f"  {name}: {_scalar(value)}"
    if card.sheets:
        yield f"  sheets: [{', '.join(json.dumps(label, ensure_ascii=False) for label in card.sheets)}]"
    for name in ("front", "back"):
        if blocks := getattr(card, name):
            yield f"  {name}: |"
            yield from (f"    {_json(block)}" for block in blocks)


def _table(name: str, values: Mapping[str, int | float | str]) -> Iterator[str]:
    if values:
        yield f"{name}:"
        yield from (f"  {key}: {_scalar(value)}" for key, value in values.items())


def _scalar(value: int | float | str) -> str:
    """A value that the reader reads as just that value."""
    if isinstance(value, str) and _WORDS.fullmatch(value) and plain(value) == value:
        return value
    return _json(value)


def _json(value: Any) -> str:
    text = json.dumps(value, ensure_ascii=False)
    return _UNSAFE.sub(lambda found: f"\\u{ord(found[0]):04x}", text)
