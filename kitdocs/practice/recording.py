"""Print runs written into the practice folder, readable and with the same bytes on every machine."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from kitdocs.practice.printed import PRINTED, PrintedCard, PrintRecord, PrintRun
from kitdocs.practice.problems import PublishError
from kitdocs.practice.reading.printed_folder import LARGEST_RUN
from kitdocs.practice.writing import quoted, scalar, write_whole

_HEAD = "# Cards printed and posted on this day. kitdocs wrote this file and never changes it; leave it as it is.\n"


def write_run(folder: Path, name: str, run: PrintRun) -> Path:
    """Write the run to ``printed/`` as `name`.yaml, whole or not at all.

    Raises `PublishError` when it cannot be written, is too large to be read again, or when another run has that name.
    """
    text = run_text(run).encode()
    target = folder / PRINTED / f"{name}.yaml"
    if len(text) > LARGEST_RUN:
        raise PublishError("this is too much for one record of printing; record it in parts, with --cards")
    try:
        target.parent.mkdir(exist_ok=True)
        if target.exists() and target.read_bytes() != text:
            raise PublishError(f"{target} is there already and says something else")
        write_whole(target, text)
    except OSError as error:
        raise PublishError(f"could not write {target}: {error.strerror or error}; nothing was recorded") from error
    return target


def take_back(folder: Path, record: PrintRecord) -> str:
    """Delete the last run of the record in ``printed/``; return its name.

    Raises `PublishError` when nothing is recorded, when several runs are the last, recorded side by side, and when the
    file cannot be deleted.
    """
    if not record.latest:
        raise PublishError("nothing is recorded as printed, so there is nothing to take back")
    *others, last = record.latest
    if others:
        names = ", ".join(f"{PRINTED}/{name}.yaml" for name in record.latest)
        raise PublishError(f"several records are the last, each made without the others: {names}; delete the wrong one")
    target = folder / PRINTED / f"{last}.yaml"
    try:
        target.unlink()
    except OSError as error:
        raise PublishError(f"could not delete {target}: {error.strerror or error}; nothing was taken back") from error
    return last


def run_text(run: PrintRun) -> str:
    """Return the run as YAML."""
    return _HEAD + "\n".join(_lines(run)) + "\n"


def _lines(run: PrintRun) -> Iterator[str]:
    yield f"date: {run.date}"
    if run.by:
        yield f"by: {scalar(run.by)}"
    if run.follows:
        yield f"follows: [{', '.join(run.follows)}]"
    if run.cards:
        yield "cards:"
    for card in run.cards:
        yield from _card(card)
    if run.taken_out:
        yield "taken_out:"
    for gone in run.taken_out:
        yield f"- {{card: {scalar(gone.card)}, language: {gone.language}}}"
    if run.labels:
        yield "labels:"
    for label in run.labels:
        text = f", text: {quoted(label.text)}" if label.text else ""
        carrier = f", on: {quoted(label.on)}" if label.on else ""
        yield (
            f"- {{kind: {label.kind}, label: {quoted(label.label)}, language: {label.language},"
            f" edition: {quoted(label.edition)}, count: {label.count}{carrier}{text}}}"
        )
    yield from _table("figures", run.figures)
    yield from _table("inputs", run.inputs)


def _card(card: PrintedCard) -> Iterator[str]:
    yield f"- card: {scalar(card.card)}"
    yield f"  language: {card.language}"
    yield f"  edition: {scalar(card.edition)}"
    yield f"  title: {scalar(card.title)}"
    for name in ("subtitle", "section", "hangs", "place"):
        if value := getattr(card, name):
            yield f"  {name}: {scalar(value)}"
    if card.sheets:
        yield f"  sheets: [{', '.join(quoted(label) for label in card.sheets)}]"
    for name in ("front", "back"):
        if blocks := getattr(card, name):
            yield f"  {name}: |"
            yield from (f"    {quoted(block)}" for block in blocks)


def _table(name: str, values: Mapping[str, int | float | str]) -> Iterator[str]:
    if values:
        yield f"{name}:"
        yield from (f"  {key}: {scalar(value)}" for key, value in values.items())
