"""The guide as one folder: its pages, the search, and all of it on paper."""

from __future__ import annotations

from kitdocs.document.card import Handbook
from kitdocs.publish.print.documents import read_through
from kitdocs.publish.print.rendering import Rendering
from kitdocs.publish.print.workers import Workers
from kitdocs.publish.site.assets import EVERY_PAGE, assets, pictures, script_words
from kitdocs.publish.site.guide_pages import GUIDE_PDF, guide_pages
from kitdocs.publish.site.installing import icon_svg
from kitdocs.publish.site.search import search_index

#: The scripts that the pages have.
_SCRIPTS = ("site.js", "search.js")


def guide_files(guide: Handbook) -> dict[str, bytes]:
    """Return the files of the guide by path.

    Raises `PublishError` when a page links to one that is not there, or when something cannot be printed.
    """
    return {**guide_site(guide), GUIDE_PDF: guide_pdf(guide)}


def guide_site(guide: Handbook) -> dict[str, bytes]:
    """Return the guide's pages, by path, with all that they need."""
    files = {path: data for path, data in assets().items() if not path.endswith(".js") or path[7:] in _SCRIPTS}
    files.update(pictures([guide]))
    files["assets/icon.svg"] = icon_svg(("#1a1a1a",))
    files[f"assets/words.{guide.language}.js"] = script_words(guide.words, *EVERY_PAGE)
    found = script_words(guide.words, "lookup.script") + search_index(guide, [guide])
    files[f"assets/index.{guide.language}.js"] = found
    files.update(guide_pages(guide))
    return files


def guide_pdf(guide: Handbook) -> bytes:
    """Return the whole guide on paper."""
    with Workers() as workers:
        return read_through(Rendering(guide, workers.run()), guide.words("guide.title"))
