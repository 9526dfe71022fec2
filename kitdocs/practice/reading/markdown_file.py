"""What can be wrong with a page of prose before it becomes blocks."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator

from kitdocs.practice.places import Place
from kitdocs.practice.problems import Problem, Severity, written
from kitdocs.practice.reading.text_file import TextFile

_FENCE = re.compile(r"\s{0,3}(```+|~~~+)")
_CODE = re.compile(r"(?<!`)(`{1,9})(?!`).{1,1000}?(?<!`)\1(?!`)")
_TITLE = re.compile(r"#\s+\S")
_TAG = re.compile(r"</?[A-Za-z][A-Za-z0-9-]*(?:\s[^<>]*)?/?>|<!--")
_LINK = re.compile(
    r"\[[^\[\]]{0,500}\]\(\s{0,20}<?([^)\s>]*)"  # [words](address)
    r"|^\s{0,3}\[[^\[\]]{1,500}\]:\s*<?([^\s>]*)"  # [words]: address
    r"|<([A-Za-z][A-Za-z0-9+.-]*:[^\s>]*)>"  # <address>
)
_SAFE = {"http", "https", "mailto", "tel", ""}


def page_problems(source: TextFile) -> Iterator[Problem]:
    """Missing title, HTML tags, addresses that could run something."""
    if not any(_TITLE.match(line) for _, line in _prose(source)):
        yield _problem(
            source,
            "no-title",
            "error",
            source.place(1),
            "the page has no title",
            "begin the page with a line as in '# House rules'",
        )
    for number, line in _prose(source):
        if tag := _TAG.search(line):
            yield _problem(
                source,
                "html",
                "warning",
                source.place(number, tag.start() + 1),
                f"'{tag[0][:40]}' is HTML and will be printed as it stands here",
                "write **bold**, *slanted*, '- ' for a list, [words](address) for a link",
            )
        for link in _LINK.finditer(line):
            group = link.lastindex or 1
            scheme = _scheme(link[group])
            if scheme not in _SAFE:
                yield _problem(
                    source,
                    "link",
                    "error",
                    source.place(number, link.start(group) + 1),
                    f"a link may not begin with '{scheme[:40]}:'",
                    "a link begins with https://, mailto: or tel:, or names another page",
                )


def _problem(source: TextFile, rule: str, severity: Severity, place: Place, message: str, remedy: str) -> Problem:
    return Problem(rule=rule, severity=severity, place=place, path=written(source.at), message=message, remedy=remedy)


def _prose(source: TextFile) -> Iterator[tuple[int, str]]:
    """The numbered lines outside code blocks; code inside a line is blanked, so that columns stay."""
    fence = ""
    for number, line in enumerate(source.lines, 1):
        mark = _FENCE.match(line)
        if fence:
            if mark and mark[1].startswith(fence):
                fence = ""
        elif mark:
            fence = mark[1]
        else:
            yield number, _CODE.sub(lambda code: " " * len(code[0]), line)


def _scheme(address: str) -> str:
    """The part before the colon, as a browser would understand it."""
    plain = re.sub(r"[\x00-\x20]", "", html.unescape(address)).lower()
    before, colon, _ = plain.partition(":")
    return before if colon and not re.search(r"[/?#]", before) else ""
