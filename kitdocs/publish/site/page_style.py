"""The style that a page carries in itself: colours, and what a first view needs so that it waits for the page alone."""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from markupsafe import Markup

from kitdocs.publish.site.frame import COLOUR_CLASS, colour_rule
from kitdocs.shipped import shipped_folder


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """Style sheets as one text, and the digest by which a page's Content-Security-Policy allows them and no others."""

    text: Markup
    digest: str


def style_of(page: str, sheets: Sequence[str], root: str) -> Style:
    """The style of a page of the text `page`: the named sheets, and the colour of each band that the page shows.

    `root` is the way from the page to the site's top.
    """
    colours = sorted(set(COLOUR_CLASS.findall(page)))
    return _style(tuple(sheets), tuple(colours), root)


@cache
def _style(sheets: tuple[str, ...], colours: tuple[tuple[str, str], ...], root: str) -> Style:
    text = "".join(_sheet(name) for name in sheets).replace('url("fonts/', f'url("{root}assets/fonts/')
    text += "".join(colour_rule(colour, ink) for colour, ink in colours)
    digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
    return Style(text=Markup(text), digest=f"sha256-{digest}")


@cache
def _sheet(name: str) -> str:
    """A style sheet without its comments and indents."""
    text = (shipped_folder("site_templates") / "site" / "assets" / f"{name}.css").read_text("utf-8")
    return re.sub(r"\n\s*", "\n", re.sub(r"/\*.*?\*/", "", text, flags=re.DOTALL)).lstrip()
