"""The site: every card of every language as a page, with all that the pages need, in memory.

Opens from a folder, a stick, any static host and any folder of it: every address is relative, and no
page asks for anything from anywhere else.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence

from kitdocs.document.card import Handbook
from kitdocs.practice.problems import PublishError
from kitdocs.publish.site.assets import EVERY_PAGE, assets, pictures, script_words
from kitdocs.publish.site.frame import MISSING_PAGE
from kitdocs.publish.site.installing import installing
from kitdocs.publish.site.pages import Drawn, Paper, missing_page, pages
from kitdocs.publish.site.plan_pages import plan_index, plan_pages
from kitdocs.publish.site.search import search_index
from kitdocs.shipped import shipped_folder

EDITIONS = "editions.json"
#: What a page asks the network for to see whether there is a newer site.
VERSION = "version.json"
WORKER = "sw.js"


def site(
    handbooks: Sequence[Handbook],
    reports: Sequence[Handbook] = (),
    drawn: Drawn | None = None,
    paper: Paper = lambda handbook, card: None,
) -> Mapping[str, bytes]:
    """The site of one practice: contents by relative path.

    `handbooks` are the practice's languages, the first one first. The planning `reports` have pages apart from them,
    which no search finds and no device keeps. The same handbooks give the same bytes. Pages that were `drawn` already
    and have not changed are not drawn again. `paper` says where beside the site a card is on paper, if it is.
    Raises `PublishError` when two things want the same address, or a card points to one that is not there.
    """
    files = _Files()
    files.add(assets())
    files.add(pictures(handbooks))
    files.add(installing(handbooks))
    planned = {report.language: plan_index(report) for report in reports}
    for handbook in handbooks:
        files.add(pages(handbook, handbooks, planned.get(handbook.language, ""), drawn, paper))
        files.add({f"assets/words.{handbook.language}.js": script_words(handbook.words, *EVERY_PAGE)})
        files.add({f"assets/audit.{handbook.language}.js": script_words(handbook.words, "audit.script")})
        files.add({f"assets/tablet.{handbook.language}.js": script_words(handbook.words, "tablet.script")})
        files.add({f"assets/round.{handbook.language}.js": script_words(handbook.words, "round.script")})
        found = script_words(handbook.words, "lookup.script") + search_index(handbook, handbooks)
        files.add({f"assets/index.{handbook.language}.js": found})
    version = _digest(files.by_path)
    files.add({"assets/version.js": f"self.KITDOCS_VERSION = {json.dumps(version)};\n".encode()})
    kept = dict(files.by_path)
    files.add({EDITIONS: editions(handbooks)})
    files.add({VERSION: json.dumps({"version": version}).encode()})
    files.add({WORKER: worker(kept)})
    files.add({MISSING_PAGE: missing_page(handbooks[0], handbooks)})  # never kept: hosts do not give it away as found
    for report in reports:
        files.add(plan_pages(report, reports))
    files.add({path: data for path, data in pictures(reports).items() if path not in kept})
    return files.by_path


def editions(handbooks: Sequence[Handbook]) -> bytes:
    """The present editions of what is printed: what a page asks the network for, so in few bytes.

    By card id, the editions in the order of the languages, with a space between: ``K7Q2M P4D8X``; ``-`` for none.
    """
    by_language = [{card.id: card.edition for card in handbook.kept} for handbook in handbooks]
    ids = sorted({card_id for cards in by_language for card_id in cards})
    cards = {card_id: " ".join(cards.get(card_id, "-") for cards in by_language) for card_id in ids}
    told = {"languages": [handbook.language for handbook in handbooks], "cards": cards}
    return json.dumps(told, ensure_ascii=False, separators=(",", ":")).encode()


def worker(files: Mapping[str, bytes]) -> bytes:
    """The service worker, which keeps `files` for when there is no network; its version is their content."""
    digest = hashlib.sha256()
    for path, content in sorted(files.items()):
        digest.update(f"{path} {hashlib.sha256(content).hexdigest()}\n".encode())
    script = (shipped_folder("site_templates") / "site" / "worker.js").read_text("utf-8")
    digest.update(script.encode())
    head = f'"use strict";\nconst VERSION = "{digest.hexdigest()[:16]}";\nconst FILES = {json.dumps(sorted(files))};\n'
    return (head + script).encode()


def _digest(files: Mapping[str, bytes]) -> str:
    """What stands for the content of all pages and what they load: eight characters."""
    digest = hashlib.sha256()
    for path, content in sorted(files.items()):
        digest.update(f"{path} {hashlib.sha256(content).hexdigest()}\n".encode())
    return digest.hexdigest()[:8]


class _Files:
    """Contents by path, each path once; on a disk that does not tell ``A`` from ``a``, too."""

    def __init__(self) -> None:
        self.by_path: dict[str, bytes] = {}
        self._taken: set[str] = set()

    def add(self, files: Mapping[str, bytes]) -> None:
        for path, content in files.items():
            if path.casefold() in self._taken:
                raise PublishError(f"two things of the site want the address '{path}'")
            self._taken.add(path.casefold())
            self.by_path[path] = content
