"""The practice's own pages: Markdown turned into blocks, so that no raw HTML from a file reaches a page."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import replace

import markdown

from kitdocs.document.blocks import Heading, Listing, Matrix, Paragraph, Prose, ProsePart, Sample, Span
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.layout import table as matrix
from kitdocs.handbook.rules.quote import RULES, sentence, trigger_line
from kitdocs.handbook.rules.triggers import TRIGGERS
from kitdocs.practice.model import Page
from kitdocs.practice.problems import KitdocsError
from kitdocs.practice.reading.markdown_file import QUOTED_RULE


def page_card(brief: Brief, page: Page) -> Card:
    """Return one of the practice's pages as a card. Its title is the first heading."""
    text = with_rules(brief, page.in_language(brief.language, brief.practice.settings.languages[0]))
    try:
        title, parts = titled(prose(text))
    except RecursionError:
        raise KitdocsError(f"pages/{page.id}.md: lists or emphasis are nested too deep") from None
    return Card(
        id=f"pages/{page.id}",
        kind="page",
        title=title or page.id,
        section=brief.words("card.section.pages"),
        hangs=brief.words("card.hangs.pages"),
        pairs=True,
        front=(Prose(parts=parts),),
    )


def with_rules(brief: Brief, text: str) -> str:
    """Return a page with each rule that it quotes by name, ``{rule:wipe-cement}``, said in full.

    ``{when:bad-pack}`` becomes the question by which a trigger is found, and its first steps.
    """

    def said_in_full(quote: re.Match[str]) -> str:
        name = quote["name"]
        if quote["kind"] == "when":
            return trigger_line(brief, name) if name in TRIGGERS else quote[0]
        return sentence(brief, name) if name in RULES else quote[0]

    return QUOTED_RULE.sub(said_in_full, text)


def titled(parts: tuple[ProsePart, ...]) -> tuple[str, tuple[ProsePart, ...]]:
    """Split off the first heading as the title."""
    for index, part in enumerate(parts):
        if isinstance(part, Heading):
            return part.text, parts[:index] + parts[index + 1 :]
    return "", parts


#: Lines between two fences of three backquotes; what stands behind the first one is for other programs.
FENCED = re.compile(r"^```([^\n`]*)\n(.*?)^```[ ]*$", re.MULTILINE | re.DOTALL)


def prose(text: str) -> tuple[ProsePart, ...]:
    """Parse Markdown into headings, paragraphs, lists, tables and samples. Anything else becomes text."""
    parts: list[ProsePart] = []
    end = 0
    for fenced in FENCED.finditer(text):
        parts += _without_samples(text[end : fenced.start()])
        parts.append(Sample(text=fenced[2].rstrip("\n")))
        end = fenced.end()
    return (*parts, *_without_samples(text[end:]))


def _without_samples(text: str) -> tuple[ProsePart, ...]:
    reader = markdown.Markdown(extensions=["tables", "sane_lists"])
    reader.preprocessors.deregister("html_block")
    reader.inlinePatterns.deregister("html")
    reader.inlinePatterns.deregister("entity")
    lines = text.splitlines()
    for before in reader.preprocessors:
        lines = before.run(lines)
    root: ET.Element | None = reader.parser.parseDocument(lines).getroot()
    for treat in reader.treeprocessors:
        if root is not None:
            changed = treat.run(root)
            root = root if changed is None else changed
    return tuple(_parts(root)) if root is not None else ()


def _parts(element: ET.Element) -> Iterator[ProsePart]:
    for child in element:
        if len(child.tag) == 2 and child.tag[0] == "h" and child.tag[1].isdigit():
            yield Heading(text="".join(span.text for span in _spans(child)).strip(), level=max(2, int(child.tag[1])))
        elif child.tag in ("ul", "ol"):
            yield Listing(ordered=child.tag == "ol", items=tuple(tuple(_item(item)) for item in child))
        elif child.tag == "table":
            yield _table(child)
        elif child.tag in ("blockquote", "div"):
            yield from _parts(child)
        elif child.tag == "pre":
            yield Paragraph(spans=(Span(text="".join(child.itertext()).strip()),))
        elif child.tag != "hr":
            yield Paragraph(spans=_trimmed(_spans(child)))


def _item(item: ET.Element) -> Iterator[ProsePart]:
    """Yield the text of a list item, then what is nested in it. A loose list wraps the text in a paragraph."""
    blocks = {"p", "ul", "ol", "table", "blockquote", "pre"}
    own = ET.Element("p")
    own.text = item.text
    own.extend(child for child in item if child.tag not in blocks)
    spans = _trimmed(_spans(own))
    if any(span.text for span in spans):
        yield Paragraph(spans=spans)
    rest = ET.Element("div")
    rest.extend(child for child in item if child.tag in blocks)
    yield from _parts(rest)


def _table(table: ET.Element) -> Matrix:
    rows = [tuple("".join(s.text for s in _spans(cell)).strip() for cell in row) for row in table.iter("tr")]
    return matrix("", rows[0], rows[1:])


def _spans(
    element: ET.Element, strong: bool = False, emphasis: bool = False, href: str = "", code: bool = False
) -> Iterator[Span]:
    if element.text:
        yield Span(text=element.text, strong=strong, emphasis=emphasis, href=href, code=code)
    for child in element:
        if child.tag == "br":
            yield Span(text=" ")
        elif child.tag == "img":
            yield Span(text=child.get("alt", ""), strong=strong, emphasis=emphasis, href=href)
        else:
            yield from _spans(
                child,
                strong=strong or child.tag == "strong",
                emphasis=emphasis or child.tag == "em",
                href=_leads_to(child.get("href", "")) if child.tag == "a" else href,
                code=code or child.tag == "code",
            )
        if child.tail:
            yield Span(text=child.tail, strong=strong, emphasis=emphasis, href=href)


def _leads_to(address: str) -> str:
    """Return the target of a link. Pages are named by their files, as editors expect: ``house-rules.md``."""
    page = re.fullmatch(r"([a-z0-9-]+)\.md", address)
    return f"#pages/{page[1]}" if page else address


def _trimmed(spans: Iterator[Span]) -> tuple[Span, ...]:
    """Return the spans with line ends turned into spaces and both ends trimmed."""
    joined = [replace(span, text=" ".join(f"x{span.text}x".split())[1:-1]) for span in spans]
    if joined:
        joined[0] = replace(joined[0], text=joined[0].text.lstrip())
        joined[-1] = replace(joined[-1], text=joined[-1].text.rstrip())
    return tuple(span for span in joined if span.text)
