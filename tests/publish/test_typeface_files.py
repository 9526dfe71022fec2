"""Typeface files that travel with kitdocs: as published, and for the site the same letters in fewer bytes."""

from __future__ import annotations

from pathlib import Path

import fontpkg_atkinson_hyperlegible
import pytest
from fontTools.pens.recordingPen import RecordingPen
from fontTools.ttLib import TTFont

from kitdocs.shipped import shipped_folder

TEMPLATES = shipped_folder("site_templates")
PUBLISHED = Path(fontpkg_atkinson_hyperlegible.__file__).parent
WEB_FONTS = sorted((TEMPLATES / "site" / "fonts").glob("*.woff2"))


def outlines(font: TTFont) -> dict[str, list[object]]:
    glyphs = font.getGlyphSet()
    found = {}
    for name in font.getGlyphOrder():
        pen = RecordingPen()
        glyphs[name].draw(pen)
        found[name] = pen.value
    return found


def test_fonts_are_the_published_ones() -> None:
    """The reference is the package of the typeface on the Python Package Index."""
    published = {path.name: path.read_bytes() for path in (PUBLISHED / "files").glob("*.ttf")}
    assert {path.name: path.read_bytes() for path in (TEMPLATES / "fonts").glob("*.ttf")} == published
    assert (TEMPLATES / "fonts" / "LICENSE.txt").read_bytes() == (PUBLISHED / "LICENSE").read_bytes()


@pytest.mark.parametrize("path", WEB_FONTS, ids=lambda path: path.stem)
def test_web_font_has_the_same_letters(path: Path) -> None:
    """Read with fontTools; WOFF2 is a W3C recommendation and loses nothing."""
    web, original = TTFont(path), TTFont(TEMPLATES / "fonts" / f"{path.stem}.ttf")
    assert web.flavor == "woff2"
    assert web.getBestCmap() == original.getBestCmap()
    assert outlines(web) == outlines(original)
    assert web["hmtx"].metrics == original["hmtx"].metrics
    assert path.stat().st_size < 25_000


def test_pages_use_each_web_font() -> None:
    styles = "".join(path.read_text("utf-8") for path in (TEMPLATES / "site" / "assets").glob("*.css"))
    assert len(WEB_FONTS) == 3
    assert all(f'url("fonts/{path.name}")' in styles for path in WEB_FONTS)
