"""The templates that draw pages: what is undefined is an error, what a person wrote is escaped."""

from __future__ import annotations

import dataclasses
import re
from functools import cache
from typing import TYPE_CHECKING

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from kitdocs.document.blocks import kind_of
from kitdocs.publish.site.frame import band_class, is_of_words, names_cards, ticked_on
from kitdocs.publish.site.page_style import question_of, style_of
from kitdocs.shipped import shipped_folder

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

PX_PER_MM = 96 / 25.4
#: The space between a number and its unit, or between a currency and its amount.
_BEFORE_UNIT = re.compile(
    r"(?<=\d) (?=(?:%|h|min|mm|cm|m|s|°C|µS/cm)(?!\w))|(?<=\bh) (?=\d+ min\b)|(?<=\b[A-Z]{3}) (?=\d)"
)


def rendered(template: str, page: DataclassInstance) -> bytes:
    """The page that the template makes of the fields of `page`."""
    fields = {field.name: getattr(page, field.name) for field in dataclasses.fields(page)}
    return environment().get_template(template).render(fields).encode()


@cache
def environment() -> Environment:
    """The site's templates, and what they may do with a block."""
    templates = templates_in("site")
    templates.filters["macro"] = macro_of
    templates.filters["px"] = lambda mm: max(1, round(mm * PX_PER_MM))
    templates.filters["is_strip"] = lambda picture: picture.width_mm > max(120, 2.2 * picture.height_mm)
    templates.filters["names_cards"] = names_cards
    templates.filters["ticked_on"] = ticked_on
    templates.filters["is_of_words"] = is_of_words
    templates.filters["dots"] = lambda text: text.replace(" · ", "\u00a0· ")  # a line never begins with the dot
    templates.filters["band_class"] = band_class
    templates.filters["style_of"] = style_of
    templates.filters["question_of"] = question_of
    return templates


def templates_in(folder: str) -> Environment:
    """The templates of one folder of ``site_templates``."""
    return Environment(
        loader=FileSystemLoader(shipped_folder("site_templates") / folder),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        finalize=_with_units_held,
    )


def _with_units_held(value: object) -> object:
    """Keep a number and its unit on one line: `95 %`, `2 h 53 min`, `USD 7,341.00`."""
    return _BEFORE_UNIT.sub("\u00a0", value) if type(value) is str else value


def macro_of(block: object) -> str:
    """The name of the macro that draws a block: ``form_grid`` for a `FormGrid`."""
    return kind_of(block).replace("-", "_")
