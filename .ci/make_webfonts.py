"""Make the typeface's WOFF2 files for the site from the TTF files that Typst uses. Run it after a change of these.

Needs fontTools with Brotli: pip install 'fonttools[woff]'.
"""

from __future__ import annotations

from pathlib import Path

from fontTools.ttLib import TTFont

TEMPLATES = Path(__file__).parent.parent / "site_templates"
#: Styles that pages use.
STYLES = ("Regular", "Bold", "Italic")


def main() -> None:
    for style in STYLES:
        font = TTFont(TEMPLATES / "fonts" / f"AtkinsonHyperlegible-{style}.ttf", recalcTimestamp=False)
        font.flavor = "woff2"
        font.save(TEMPLATES / "site" / "fonts" / f"AtkinsonHyperlegible-{style}.woff2")


if __name__ == "__main__":
    main()
