"""The press: Typst, with nothing from this machine in it. The same input gives the same bytes everywhere."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timezone
from functools import cache
from pathlib import Path

import fontpkg_atkinson_hyperlegible
import typst

from kitdocs.practice.problems import PublishError
from kitdocs.publish.print.data import PrintData
from kitdocs.shipped import shipped_folder

#: A document's date is no part of its content: unchanged content must be unchanged bytes.
TIMESTAMP = datetime(2026, 1, 1, tzinfo=timezone.utc)

#: For so many documents Typst keeps what none of them used. From memory: its cache is evicted at age 10.
_KEPT_FOR = 10

_NO_GLYPH = re.compile(r'the text `"(.+?)"` could not be displayed')


def render_pdf(template: str, data: PrintData) -> bytes:
    """The PDF/UA-1 that `template` (a file of ``site_templates/print``) makes of `data`.

    `PublishError` for anything that Typst refuses or warns of: a sign the typeface lacks, an unknown font, a picture
    without an alternative.
    """
    with _folder_of_photos(data) as folder, _refused(template, data):
        compiler = typst.Compiler(root=folder, font_paths=_fonts())
        # Typst's stubs know nothing of virtual files.
        pdf, warnings = compiler.compile_with_warnings(  # type: ignore[type-var]
            _files(template, data), format="pdf", pdf_standards=["ua-1"], timestamp=TIMESTAMP
        )
    if warnings:
        raise PublishError(f"{template}: " + "; ".join(str(warning.message) for warning in warnings))
    if not isinstance(pdf, bytes):
        raise PublishError(f"{template}: no PDF was made")
    return pdf


def query(template: str, label: str, data: PrintData) -> str:
    """What `template` answers under `label`, as JSON. Nothing is printed and no picture is read."""
    with _refused(template, data):
        return typst.query(  # type: ignore[type-var]
            _files(template, data),
            f"<{label}>",
            field="value",
            one=True,
            font_paths=_fonts(),
            sys_inputs={"measuring": "yes"},
        )


def evict_cache(documents: int) -> None:
    """Let Typst drop what it keeps in memory of the first of the last `documents`, some hundred megabytes.

    Typst keeps what it worked out until so many later documents had no use for it. It has no call to drop it sooner,
    so it is given empty ones until the first, the largest, is old enough; the others go as the next ones are set.
    """
    for number in range(max(1, _KEPT_FOR + 2 - documents)):
        typst.compile(f"#{number}".encode(), font_paths=_fonts())


def _files(template: str, data: PrintData) -> dict[str, bytes]:
    templates = _templates()
    return {"main.typ": templates[template], **templates, **data.files}


@contextmanager
def _folder_of_photos(data: PrintData) -> Iterator[str]:
    """Typst takes pictures of bytes from a disk only."""
    with tempfile.TemporaryDirectory(prefix="kitdocs-") as folder:
        for path, photo in data.photos.items():
            (Path(folder) / path).parent.mkdir(parents=True, exist_ok=True)
            (Path(folder) / path).write_bytes(photo)
        yield folder


@contextmanager
def _refused(template: str, data: PrintData) -> Iterator[None]:
    try:
        yield
    except typst.TypstError as error:
        raise PublishError(_explained(template, error, data)) from error


@cache
def _templates() -> dict[str, bytes]:
    folder = shipped_folder("site_templates") / "print"
    return {path.name: path.read_bytes() for path in sorted(folder.glob("*.typ"))}


@cache
def _fonts() -> typst.Fonts:
    # A folder, never a file: Typst silently takes no font from a file.
    folder = Path(fontpkg_atkinson_hyperlegible.__file__).parent / "files"
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(folder)])


def _explained(template: str, error: typst.TypstError, data: PrintData) -> str:
    said = re.match(r"(?:assertion failed|panicked with): (.+)", error.message, re.DOTALL)
    if said:
        return said[1]
    signs = dict.fromkeys(_NO_GLYPH.findall(error.diagnostic))
    if not signs:
        at = re.search(r"([\w-]+\.typ:\d+:\d+)", error.diagnostic)
        return f"{at[1] if at else template}: {error.message}"
    return "\n".join(f"the typeface cannot print '{sign}'{_where(sign, data)}" for sign in signs)


def _where(sign: str, data: PrintData) -> str:
    """The first text that has the sign, so that a person can find and change it."""
    said, drawn = r"(?:[^\"\\]|\\.)*", "[^<]*"
    for name, text in data.files.items():
        start, words, end = ('"', said, '"') if name.endswith(".json") else (">", drawn, "<")
        found = re.search(f"{start}({words}{re.escape(sign)}{words}){end}", text.decode())
        if found:
            return f" in “{found[1]}”"
    return ""
