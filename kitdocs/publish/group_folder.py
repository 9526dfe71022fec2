"""The pages and tables of several practices together, in one folder beside their handbooks."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from kitdocs.document.card import Handbook
from kitdocs.document.table import Tables
from kitdocs.publish.site.assets import EVERY_PAGE, assets, pictures, script_words
from kitdocs.publish.site.group_pages import PracticeLine, group_pages
from kitdocs.publish.site.installing import icon_svg
from kitdocs.publish.tables import csv_tables
from kitdocs.publish.workbook import workbook

#: The one script that a page of a group has.
_SCRIPT = "site.js"


def group_files(
    books: Sequence[Handbook], tables: Iterable[Tables], lines: Mapping[str, Sequence[PracticeLine]]
) -> dict[str, bytes]:
    """Return the files of a group by path: pages in each language, tables as text, a workbook a language.

    `lines` are the practices as the first page lists them, by language.
    """
    files = {path: data for path, data in assets().items() if _is_used(path)}
    files.update(pictures(books))
    files["assets/icon.svg"] = icon_svg(("#1a1a1a",))
    for book in books:
        files.update(group_pages(book, books, lines[book.language]))
        files[f"assets/words.{book.language}.js"] = script_words(book.words, *EVERY_PAGE)
    for each in tables:
        files.update({f"tables/{each.folder}{name}": csv for name, csv in csv_tables(each).items()})
        files[f"{each.folder}group.xlsx"] = workbook(each)
    return files


def _is_used(path: str) -> bool:
    name = path.removeprefix("assets/")
    return not name.endswith(".js") or name == _SCRIPT
