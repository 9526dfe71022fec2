"""Problems of a page of prose, found before it becomes blocks."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator

from kitdocs.practice.locations import SourceLocation
from kitdocs.practice.problems import Problem, nearest
from kitdocs.practice.reading.text_file import TextFile
from kitdocs.practice.sentences import shipped_sentences
from kitdocs.practice.typeface import letters_problem, unprintable
from kitdocs.practice.values import ID_PATTERN

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
#: What stands for another page (``house-rules.md``) or for a card (``#map``).
_WITHIN = re.compile(rf"{ID_PATTERN[1:-1]}\.md|#\S+")
#: A rule of the work that a page quotes by its id, ``{rule:wipe-cement}``, or a trigger with its first steps,
#: ``{when:bad-pack}``.
QUOTED_RULE = re.compile(r"\{(?P<kind>rule|when):(?P<name>[^{}\s]*)\}")
_INDENTED = re.compile(r"([ \t]*)((?:(?:[-+*>]|\d{1,9}\.)[ \t]+)+)(?=.*\w)")

#: A list or quote set in further than this cannot be printed readably. Ours.
MOST_INDENT = 24
#: Each bracket may open a link, and every one that does is tried: time grows with their square.
MOST_BRACKETS = 1000


def page_problems(source: TextFile) -> Iterator[Problem]:
    """Missing title, letters that cannot be printed, HTML tags, links that lead nowhere or could run something."""
    if not any(_TITLE.match(line) for _, line in _prose(source)):
        yield source.problem("no-title", source.place(1))
    yield from _unprintable(source)
    if source.text.count("[") > MOST_BRACKETS:
        yield source.problem("brackets", source.place_of(source.text.index("[")), most=MOST_BRACKETS)
    for number, line in _prose(source):
        if (deep := _INDENTED.match(line)) and len(deep[0].expandtabs(4)) > MOST_INDENT + 2:
            yield source.problem("too-deep.page", source.place(number, deep.end(1) + 1))
        if tag := _TAG.search(line):
            yield source.problem("html", source.place(number, tag.start() + 1), severity="warning", tag=tag[0][:40])
        for link in _LINK.finditer(line):
            yield from _link_problem(source, source.place(number, link.start(link.lastindex or 1) + 1), link)
        for quote in QUOTED_RULE.finditer(line):
            yield from _quote_problem(source, source.place(number, quote.start() + 1), quote)


def _quote_problem(source: TextFile, place: SourceLocation, quote: re.Match[str]) -> Iterator[Problem]:
    kind, name = quote["kind"], quote["name"]
    prefix = "rules.when." if kind == "when" else "rules."
    known = {key.removeprefix(prefix) for key in shipped_sentences("en") if key.startswith(prefix)}
    names = {name for name in known if "." not in name}
    if name not in names:
        what = "trigger" if kind == "when" else "rule"
        near = nearest(name, names)
        remedy = "nearest" if near else "remedy"
        yield source.problem("unknown-rule", place, remedy=remedy, what=what, name=name[:40], nearest=near)


def _link_problem(source: TextFile, place: SourceLocation, link: re.Match[str]) -> Iterator[Problem]:
    address = link[link.lastindex or 1]
    scheme = _scheme(address)
    if scheme not in _SAFE:
        yield source.problem("link", place, scheme=scheme[:40])
    elif not scheme and address and not _WITHIN.fullmatch(address):
        yield source.problem("dead-link", place, severity="warning", address=address[:40])


def _unprintable(source: TextFile) -> Iterator[Problem]:
    """Yield letters that the typeface lacks, each where it stands first."""
    lacking = set(unprintable(source.text))
    for number, line in enumerate(source.lines, 1) if lacking else ():
        for column, letter in enumerate(line, 1):
            if letter in lacking:
                lacking.remove(letter)
                name, values = letters_problem([letter])
                yield source.problem(name, source.place(number, column), **values)


def page_links(source: TextFile) -> Iterator[tuple[str, SourceLocation]]:
    """The other pages that a page names in its links, by id, with the place."""
    for number, line in _prose(source):
        for link in _LINK.finditer(line):
            group = link.lastindex or 1
            if link[group].endswith(".md") and _WITHIN.fullmatch(link[group]):
                yield link[group].removesuffix(".md"), source.place(number, link.start(group) + 1)


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
