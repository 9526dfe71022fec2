"""Drawings as the printing engine really prints them."""

from __future__ import annotations

import io
import json
from collections.abc import Callable, Sequence
from pathlib import Path

import fontpkg_atkinson_hyperlegible
import pytest
import typst
from PIL import Image

Printer = Callable[..., list[Image.Image]]


@pytest.fixture(scope="session")
def printed() -> Printer:
    """SVG texts → one greyscale picture each, alone on a page of the stated millimetres."""
    folders = {str(f.parent) for f in Path(fontpkg_atkinson_hyperlegible.__file__).parent.rglob("*.ttf")}
    fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=sorted(folders))
    compiler = typst.Compiler(font_paths=fonts)

    def pictures(svgs: Sequence[str], *, width_mm: float, height_mm: float, ppi: float) -> list[Image.Image]:
        source = (
            f"#set page(width: {width_mm}mm, height: {height_mm}mm, margin: 0pt)\n"
            f'#for svg in json("svgs.json") {{ page(image(bytes(svg), format: "svg",'
            f' width: {width_mm}mm, height: {height_mm}mm, fit: "stretch")) }}'
        )
        files = {"main.typ": source.encode(), "svgs.json": json.dumps(list(svgs)).encode()}
        pages, warnings = compiler.compile_with_warnings(files, format="png", ppi=ppi)
        assert not warnings
        found = [pages] if isinstance(pages, bytes) else pages
        assert len(found) == len(svgs)
        return [Image.open(io.BytesIO(page)).convert("L") for page in found]

    return pictures
