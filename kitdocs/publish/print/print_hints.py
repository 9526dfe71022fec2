"""Hints of a PDF to a printer: true size, sides, paper, cuts, and which colours it means.

Viewer preferences are those of ISO 32000-1, 12.2; page boxes 14.11.2; output intents 14.11.5; page labels 12.4.2.
"""

from __future__ import annotations

import io
from collections.abc import Iterable
from typing import Any

import pikepdf
from pikepdf import Array, Dictionary, Name, String

from kitdocs.publish.print.paper_use import PaperUse

_POINTS_PER_MM = 72 / 25.4

#: The name of the colours that Typst writes, in the registry of the International Color Consortium.
_SRGB = "sRGB IEC61966-2.1"
_RGB, _GREY = 3, 1


def with_paper_use(pdf: bytes, use: PaperUse) -> bytes:
    """Return a PDF that says how it is to be printed. The same PDF gives the same bytes."""
    with pikepdf.open(io.BytesIO(pdf)) as document:
        say_paper_use(document, use)
        return saved(document)


def say_paper_use(document: pikepdf.Pdf, use: PaperUse) -> None:
    """Write into a document how it is to be printed. Pages without labels are called by their number."""
    root: Any = document.Root
    preferences = root.ViewerPreferences
    preferences.PrintScaling = Name("/None")
    preferences.PickTrayByPDFSize = True
    # Backs register when a sheet is turned on its long edge, whichever way it lies.
    preferences.Duplex = Name.DuplexFlipLongEdge if use.both_sides else Name.Simplex
    if Name.PageLabels not in root:
        root.PageLabels = Dictionary(Nums=Array([0, Dictionary(S=Name.D)]))
    if Name.OutputIntents not in root and (profile := _profile(document)) is not None:
        root.OutputIntents = Array([_output_intent(profile)])
    _set_boxes(document.pages, use)


def with_boxes(pdf: bytes, pages: Iterable[int], use: PaperUse) -> bytes:
    """Return a PDF some of whose pages, counted from 0, have the boxes of their use."""
    with pikepdf.open(io.BytesIO(pdf)) as document:
        _set_boxes((document.pages[number] for number in pages), use)
        return saved(document)


def _set_boxes(pages: Iterable[pikepdf.Page], use: PaperUse) -> None:
    """Give each page that has none its trim box and bleed box: those of the cut, or the sheet itself."""
    for page in pages:
        if Name.TrimBox in page.obj:
            continue
        if use.trim is None:
            page.obj.TrimBox = page.obj.BleedBox = Array(page.mediabox)
        else:
            left, bottom, right, top = use.trim
            page.obj.TrimBox = _points(left, bottom, right, top)
            page.obj.BleedBox = _points(left - use.bleed, bottom - use.bleed, right + use.bleed, top + use.bleed)


def saved(document: pikepdf.Pdf) -> bytes:
    """Return the bytes of a document: of the same content the same, and small."""
    file = io.BytesIO()
    document.save(file, deterministic_id=True, object_stream_mode=pikepdf.ObjectStreamMode.generate)
    return file.getvalue()


def _points(*millimetres: float) -> Array:
    return Array(round(mm * _POINTS_PER_MM, 3) for mm in millimetres)


def _profile(document: pikepdf.Pdf) -> pikepdf.Stream | None:
    """Return the profile that Typst gives the colours of a document, or its greys where it has no colour."""
    found: dict[int, pikepdf.Stream] = {}
    for thing in document.objects:
        if isinstance(thing, pikepdf.Array) and len(thing) == 2 and thing[0] == "/ICCBased":
            profile: Any = thing[1]
            found.setdefault(int(profile.N), profile)
    return found.get(_RGB) or found.get(_GREY)


def _output_intent(profile: Any) -> pikepdf.Dictionary:
    intent = Dictionary(Type=Name.OutputIntent, S=Name.GTS_PDFA1, DestOutputProfile=profile)
    if profile.N == _RGB:
        intent.OutputConditionIdentifier = intent.Info = String(_SRGB)
        intent.RegistryName = String("http://www.color.org")
    else:
        intent.OutputConditionIdentifier = String("Custom")
        intent.Info = String("Greys of " + _SRGB)
    return intent
