"""Typst rendering with nothing of this machine in it: the same source gives the same bytes everywhere."""

from __future__ import annotations

import json
import re
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime, timezone
from functools import cache
from pathlib import Path

import typst

from kitdocs.errors import PublishError
from kitdocs.practice.typeface import font_folders
from kitdocs.publish.print.paper_use import PaperUse
from kitdocs.shipped import shipped_folder

#: A document's date is no part of its content: unchanged content must be unchanged bytes.
TIMESTAMP = datetime(2026, 1, 1, tzinfo=timezone.utc)

#: Cards that are named when the layout of one of them failed.
_MOST_NAMED = 3

_NO_GLYPH = re.compile(r'the text `"(.+?)"` could not be displayed')


@dataclass(frozen=True, slots=True, kw_only=True)
class DocumentSource:
    """A document before it is rendered. `template` is a file of ``site_templates/print``."""

    template: str
    files: Mapping[str, bytes]
    """UTF-8 text by path: the data and the drawings."""
    photos: Mapping[str, bytes] = field(default_factory=dict)
    """By path; Typst reads these from a disk only."""
    use: PaperUse | None = None
    """None: a part, which says nothing to a printer before it is joined with the others."""


def render_pdf(source: DocumentSource) -> bytes:
    """Return the PDF/UA-1 of a source.

    Raises `PublishError` for anything that Typst refuses or warns of: a sign the typeface lacks, an unknown font, a
    picture without an alternative.
    """
    with _folder_of_photos(source) as folder, _refusals(source):
        compiler = typst.Compiler(root=folder, font_paths=_fonts())
        # Typst's stubs know nothing of virtual files.
        pdf, warnings = compiler.compile_with_warnings(  # type: ignore[type-var]
            _files(source), format="pdf", pdf_standards=["ua-1"], timestamp=TIMESTAMP
        )
    if warnings:
        raise PublishError(f"{source.template}: " + "; ".join(str(warning.message) for warning in warnings))
    if not isinstance(pdf, bytes):
        raise PublishError(f"{source.template}: no PDF was made")
    if source.use is None:
        return pdf
    from kitdocs.publish.print.print_hints import with_paper_use

    return with_paper_use(pdf, source.use)


def query(source: DocumentSource, label: str) -> str:
    """Return what the source says under `label`, as JSON. Nothing is printed and no picture is read.

    Raises `PublishError` for what the template refuses.
    """
    with _refusals(source):
        return typst.query(  # type: ignore[type-var]
            _files(source),
            f"<{label}>",
            field="value",
            one=True,
            font_paths=_fonts(),
            sys_inputs={"measuring": "yes"},
        )


def _files(source: DocumentSource) -> dict[str, bytes]:
    templates = _templates()
    return {"main.typ": templates[source.template], **templates, **source.files}


@contextmanager
def _folder_of_photos(source: DocumentSource) -> Iterator[str]:
    with tempfile.TemporaryDirectory(prefix="kitdocs-") as folder:
        for path, photo in source.photos.items():
            (Path(folder) / path).parent.mkdir(parents=True, exist_ok=True)
            (Path(folder) / path).write_bytes(photo)
        yield folder


@contextmanager
def _refusals(source: DocumentSource) -> Iterator[None]:
    try:
        yield
    except RuntimeError as error:  # a query raises no `TypstError`
        raise PublishError(_explained(error, source)) from error


@cache
def _templates() -> dict[str, bytes]:
    folder = shipped_folder("site_templates") / "print"
    return {path.name: path.read_bytes() for path in sorted(folder.glob("*.typ"))}


@cache
def _fonts() -> typst.Fonts:
    # Folders, never files: Typst silently takes no font from a file.
    folders = [str(folder) for folder in font_folders()]
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=folders)


def _explained(error: RuntimeError, source: DocumentSource) -> str:
    message = str(error).removeprefix("failed to compile document: ")
    diagnostic = error.diagnostic if isinstance(error, typst.TypstError) else ""
    own = re.match(r"(?:assertion failed|panicked with): (.+)", message, re.DOTALL)
    if own:
        return own[1]
    signs = dict.fromkeys(_NO_GLYPH.findall(diagnostic))
    if not signs:
        at = re.search(r"([\w-]+\.typ:\d+:\d+)", diagnostic)
        return _own_mistake(at[1] if at else source.template, source)
    return "\n".join(f"the typeface cannot print '{sign}'{_where(sign, source)}" for sign in signs)


def _own_mistake(at: str, source: DocumentSource) -> str:
    """Return what is said of a fault in a template, with the cards that may have met it: nobody else can mend it."""
    cards = json.loads(source.files.get("data.json", b"{}")).get("cards", ())
    named = ", ".join(f"“{card['title']}”" for card in cards[:_MOST_NAMED]) + (
        ", …" if len(cards) > _MOST_NAMED else ""
    )
    where = f" of {named}" if named else ""
    return f"kitdocs made a mistake in the layout{where}. The folder is not at fault. Please report it with “{at}”"


def _where(sign: str, source: DocumentSource) -> str:
    """Return the first text that has the sign, so that a person can find and change it."""
    said, drawn = r"(?:[^\"\\]|\\.)*", "[^<]*"
    for name, text in source.files.items():
        start, words, end = ('"', said, '"') if name.endswith(".json") else (">", drawn, "<")
        found = re.search(f"{start}({words}{re.escape(sign)}{words}){end}", text.decode())
        if found:
            return f" in “{found[1]}”"
    return ""
