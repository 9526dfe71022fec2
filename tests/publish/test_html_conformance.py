"""Every page is HTML as the standard has it: parsed strictly by html5lib, and nested as the content models ask.

html5lib in strict mode raises on every parse error of the HTML Standard (13.2.2, "Parse errors"). What it does not
look at is asserted here from the same standard: ids (3.2.6), content models (4), interactive content (3.2.5.2.7).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from xml.etree.ElementTree import Element

import html5lib
import pytest
import sample_site

from kitdocs.document.card import Handbook
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.publish.site.build_site import site
from kitdocs.report.build_report import make_reports

INTERACTIVE = frozenset({"a", "button", "input", "label", "select", "summary", "details", "textarea", "iframe"})
PHRASING_ONLY = frozenset(
    {"p", "h1", "h2", "h3", "h4", "h5", "h6", "span", "strong", "em", "summary", "button", "label"}
)
BLOCKS = frozenset(
    {"div", "p", "ul", "ol", "dl", "table", "section", "article", "nav", "header", "footer", "main", "form", "figure",
     "h1", "h2", "h3", "h4", "h5", "h6", "details"}
)  # fmt: skip
CHILDREN = {
    "ul": {"li"},
    "ol": {"li"},
    "dl": {"div", "dt", "dd"},
    "table": {"caption", "colgroup", "thead", "tbody", "tfoot"},
    "thead": {"tr"},
    "tbody": {"tr"},
    "tr": {"th", "td"},
}
#: Attributes that name other elements of the page by id.
NAMES_IDS = ("for", "aria-labelledby", "aria-describedby", "aria-controls")


def faults(content: bytes) -> list[str]:
    """What is wrong with a page; empty when nothing is."""
    parser = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False)
    try:
        tree = parser.parse(content.decode())
    except Exception as error:
        return [f"html5lib: {error!r} {parser.errors[:1]}"]
    return [*_ids(tree), *_nesting(tree, ()), *_texts(tree)]


def _ids(tree: Element) -> Iterator[str]:
    ids = Counter(element.attrib["id"] for element in tree.iter() if "id" in element.attrib)
    yield from (f"the id {name} stands {times} times" for name, times in ids.items() if times > 1)
    for element in tree.iter():
        for name in NAMES_IDS:
            for wanted in element.attrib.get(name, "").split():
                if wanted not in ids:
                    yield f"<{element.tag} {name}> names {wanted}, which is not there"
        href = element.attrib.get("href", "")
        if element.tag == "a" and len(href) > 1 and href.startswith("#") and href[1:] not in ids:
            yield f"a link leads to {href}, which is not there"


def _nesting(element: Element, around: tuple[str, ...]) -> Iterator[str]:
    tag = str(element.tag)
    allowed = CHILDREN.get(tag)
    for child in element:
        name = str(child.tag)
        if not isinstance(child.tag, str):  # a comment
            continue
        if allowed and name not in allowed:
            yield f"<{name}> as a child of <{tag}>"
        if name in BLOCKS and tag in PHRASING_ONLY and not (tag == "summary" and name[0] == "h"):
            yield f"<{name}> inside <{tag}>"
        inside = {*around, tag}
        if name in INTERACTIVE and inside & {"a", "button"}:
            yield f"<{name}> inside a link or a button"
        if name == "label" and "label" in inside:
            yield "a label inside a label"
        if name == "main" and inside & {"article", "aside", "footer", "header", "nav"}:
            yield "<main> inside a section"
        yield from _nesting(child, (*around, tag))
    if tag == "label" and sum(child.tag in ("input", "select", "textarea") for child in element.iter()) > 1:
        yield "a label of two fields"


def _texts(tree: Element) -> Iterator[str]:
    """What must be there and may not be empty."""
    if not (tree.attrib.get("lang") and tree.attrib.get("dir")):
        yield "no language or direction"
    if not "".join(tree.find("head/title").itertext()).strip():  # type: ignore[union-attr]
        yield "no title"
    for element in tree.iter():
        if element.tag == "img" and "alt" not in element.attrib:
            yield f"a picture without alt: {element.attrib.get('src')}"
        if element.tag == "img" and not {"width", "height"} <= set(element.attrib):
            yield f"a picture without a size: {element.attrib.get('src')}"
        if element.tag in ("a", "button", "h1", "h2", "summary") and not _said(element):
            yield f"an empty <{element.tag}> {element.attrib}"
    if sum(element.tag == "main" for element in tree.iter()) != 1:
        yield "not one <main>"


def _said(element: Element) -> str:
    words = "".join(element.itertext()).strip() or element.attrib.get("aria-label", "")
    filled_by_a_script = any(name.startswith("data-") for name in element.attrib)
    return words or "".join(img.attrib.get("alt", "") for img in element.iter("img")) or "x" * filled_by_a_script


def all_faults(files: Mapping[str, bytes]) -> dict[str, list[str]]:
    pages = {path: content for path, content in files.items() if path.endswith(".html")}
    assert len(pages) > 20
    return {path: found for path, content in pages.items() if (found := faults(content))}


def test_every_page_of_the_sample_is_html_as_the_standard_has_it() -> None:
    assert all_faults(site(sample_site.handbooks())) == {}


@pytest.mark.whole
def test_every_page_of_the_example_is_html_as_the_standard_has_it(
    example_handbooks: tuple[Handbook, ...], example: Practice, example_plan: Plan
) -> None:
    assert all_faults(site(example_handbooks, make_reports(example, example_plan, ()))) == {}


_PAGE = '<!doctype html><html lang="en" dir="ltr"><head><title>x</title></head><body><main>{}</main></body></html>'


@pytest.mark.parametrize(
    ("body", "fault"),
    [
        ("<p>a<div>b</div></p>", "html5lib"),
        ("<ul><li>a</ul></li>", "html5lib"),
        ('<i id="a"></i><i id="a"></i>', "stands 2 times"),
        ('<label for="b">a</label>', "names b"),
        ('<a href="#b">a</a>', "leads to #b"),
        ('<a href="c"><button>a</button></a>', "inside a link"),
        ("<label>a <input> <input></label>", "two fields"),
        ("<ul><div>a</div></ul>", "child of <ul>"),
        ("<span><div>a</div></span>", "inside <span>"),
        ('<img src="x" width="1" height="1">', "without alt"),
        ('<a href="x"></a>', "an empty <a>"),
    ],
)
def test_the_check_finds_a_fault(body: str, fault: str) -> None:
    assert faults(_PAGE.format("<p>good</p>").encode()) == []
    assert any(fault in found for found in faults(_PAGE.format(body).encode()))
