"""The style and the question that a page carries in itself, so that first view and verdict wait for it alone."""

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
class Carried:
    """Style sheets or a script as one text, and the digest by which a Content-Security-Policy allows just that."""

    text: Markup
    digest: str


def style_of(page: str, sheets: Sequence[str], root: str) -> Carried:
    """The style of a page of the text `page`: the named sheets, and the colour of each band that the page shows.

    `root` is the way from the page to the site's top.
    """
    colours = sorted(set(COLOUR_CLASS.findall(page)))
    return _style(tuple(sheets), tuple(colours), root)


@cache
def _style(sheets: tuple[str, ...], colours: tuple[tuple[str, str], ...], root: str) -> Carried:
    text = "".join(_sheet(name) for name in sheets).replace('url("fonts/', f'url("{root}assets/fonts/')
    text += "".join(colour_rule(colour, ink) for colour, ink in colours)
    return _carried(text)


@cache
def question_of(root: str) -> Carried:
    """The script that asks the network for the current editions before anything else is there; `root` as above."""
    return _carried(_asset("asked.js").replace("ROOT", root).strip())


def _carried(text: str) -> Carried:
    digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
    return Carried(text=Markup(text), digest=f"sha256-{digest}")


@cache
def _asset(name: str) -> str:
    return (shipped_folder("site_templates") / "site" / name).read_text("utf-8")


@cache
def _sheet(name: str) -> str:
    """A style sheet without its comments and indents."""
    text = _asset(f"assets/{name}.css")
    return re.sub(r"\n\s*", "\n", re.sub(r"/\*.*?\*/", "", text, flags=re.DOTALL)).lstrip()
