"""Instruments as the practice draws them: what of an SVG reaches the cards, and what does not."""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from typing import get_args
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitdocs import Plan, Practice
from kitdocs.document.catalog import built_in_catalog
from kitdocs.drawings.instruments import tip
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.instruments import instrument_card
from kitdocs.handbook.cards.sets import template
from kitdocs.handbook.pictures import in_pouch, tip_of
from kitdocs.handbook.survey.build_survey import make_survey
from kitdocs.practice.kinds import DrawingKind
from kitdocs.practice.own_drawing import OwnDrawing
from kitdocs.practice.problems import Problem
from kitdocs.practice.reading.own_drawings import read_own_drawing

#: The basic shapes, paths and groups: SVG 1.1, chapters 9, 8 and 5 (from memory).
SHAPES = {"svg", "g", "path", "rect", "circle", "ellipse", "line", "polyline", "polygon"}
HEAD = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 18 22"'
Read = Callable[[str], tuple[OwnDrawing | None, list[Problem]]]


@pytest.fixture(scope="module")
def read(tmp_path_factory: pytest.TempPathFactory) -> Read:
    folder = tmp_path_factory.mktemp("practice")
    (folder / "drawings").mkdir()

    def reading(svg: str) -> tuple[OwnDrawing | None, list[Problem]]:
        (folder / "drawings" / "mirror.svg").write_text(svg, "utf-8")
        return read_own_drawing(folder, "drawings/mirror.svg")

    return reading


def kept(read: Read, inside: str) -> str:
    own, _ = read(f"{HEAD}>{inside}</svg>")
    assert own
    return own.svg


HARMFUL = {
    "script": "<script>alert(1)</script>",
    "handler": '<path d="M0 0" onclick="alert(1)" onload="alert(2)"/>',
    "link": '<a xlink:href="https://example.org/" href="javascript:alert(1)"><path d="M0 0"/></a>',
    "picture": '<image href="https://example.org/x.png" width="5"/><image href="data:image/png;base64,AA=="/>',
    "reference": '<use xlink:href="other.svg#x"/><path d="M0 0" fill="url(https://example.org/#x)" filter="url(#f)"/>',
    "text": "<text>Dr. Name</text><text><tspan>x</tspan></text>",
    "page": '<foreignObject><b xmlns="http://www.w3.org/1999/xhtml"><iframe src="https://example.org"/></b></foreignObject>',
    "style sheet": "<style>@import url(https://example.org/x.css); path{fill:url(https://example.org/#a)}</style>",
    "style": '<path d="M0 0" style="fill:url(https://example.org/#x);background:url(javascript:x);-moz-binding:url(x)"/>',
    "animation": '<path d="M0 0"><animate attributeName="href" to="javascript:alert(1)"/><set/></path>',
    "note": "<metadata><rdf xmlns='urn:x'>somebody</rdf></metadata><title>A name</title><desc>x</desc><!-- a note -->",
    "colour": '<path d="M0 0" fill="red;}body{x" stroke="expression(alert(1))"/>',
    "path": '<path d="M0 0 &quot;/&gt;&lt;script&gt;x"/>',
}


@pytest.mark.parametrize("what", HARMFUL)
def test_only_shapes_reach_a_card(read: Read, what: str) -> None:
    svg = kept(read, HARMFUL[what] + '<rect width="3" height="4"/>')
    for element in ElementTree.fromstring(svg).iter():
        assert element.tag.removeprefix("{http://www.w3.org/2000/svg}") in SHAPES
        assert not element.text and not element.tail
    assert svg.count("http") == 1 and 'xmlns="http://www.w3.org/2000/svg"' in svg, "no address but that of the language"
    assert not re.search(r"script|url|href|\bon\w+=|style|class|data:|alert|name|note", svg, re.IGNORECASE), svg
    assert '<rect width="3" height="4"/>' in svg


def test_what_is_left_out_is_told_in_one_sentence(read: Read) -> None:
    own, problems = read(f'{HEAD}><image/><text>x</text><path d="M0 0"/><defs><linearGradient/></defs></svg>')
    assert own
    (problem,) = problems
    assert (problem.severity, problem.path, problem.place.file) == ("warning", "drawings.mirror", "drawings/mirror.svg")
    assert str(problem.message) == "left out of the drawing, of which only shapes are shown: image, text"


@given(key=st.text(min_size=1, max_size=12), value=st.text(max_size=40))
def test_whatever_stands_in_an_attribute_the_rest_is_whole(read: Read, key: str, value: str) -> None:
    for name in (key, "d", "fill", "style", "transform", "class", "stroke-width", "points", "viewBox"):
        element = ElementTree.Element("{http://www.w3.org/2000/svg}svg", {"viewBox": "0 0 1 1"})
        inner = ElementTree.SubElement(element, "{http://www.w3.org/2000/svg}path")
        try:
            inner.set(name, value)
            own, problems = read(ElementTree.tostring(element, encoding="unicode"))
        except ValueError:
            continue
        if own:
            (path,) = ElementTree.fromstring(own.svg)
            assert path.get(name) in (None, " ".join(value.split())) and set(path.attrib) <= {name, "fill", "stroke"}
        else:
            assert problems


@pytest.mark.parametrize("kind", get_args(DrawingKind))
def test_a_drawing_of_shapes_looks_as_it_was(read: Read, printed, kind: DrawingKind) -> None:
    original = tip(kind).svg
    own, problems = read(original)
    assert own and not problems
    before, after = printed([original, own.svg], width_mm=18, height_mm=22, ppi=100)
    assert np.array_equal(np.asarray(before), np.asarray(after))


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_the_place_of_a_mistake_is_where_an_editor_shows_it(read: Read, end: str) -> None:
    """XML ends a line in fewer ways than editors do."""
    _, (problem,) = read(f"{HEAD}>{end}  <!-- é\x85½ -->{end}  <g> é½ <<path/>{end}</svg>")
    assert (problem.place.line, problem.place.column) == (4, len("  <g> é½ <") + 1)
    assert problem.place.text == "  <g> é½ <<path/>"


#: As a drawing program writes it: a style in each shape, or classes; notes of its own; millimetres; no view box.
PROGRAMS = {
    "styles": (
        '<?xml version="1.0" encoding="UTF-8"?><!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/d">'
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:own="urn:x" width="18mm" height="22mm" viewBox="0 0 18 22">'
        '<own:view zoom="3"/><defs/><g own:label="Layer 1" transform="translate(1,2)">'
        '<path style="fill:#ff0000;stroke:none;font-family:x" d="m 1,1 h 5 v 5 h -5 z" own:kind="rect"/></g></svg>'
    ),
    "classes": (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 18 22"><defs><style>.a,.b{fill:none}.a{fill:#ff0000;}'
        '</style></defs><g transform="matrix(1 0 0 1 1 2)"><rect class="a" x="1" y="1" width="5" height="5"/></g></svg>'
    ),
    "no view box": (
        '<svg xmlns="http://www.w3.org/2000/svg" width="18" height="22"><polygon fill="rgb(255,0,0)" '
        'points="2,3 7,3 7,8 2,8"/><rect style="display:none" width="18" height="22"/></svg>'
    ),
}


@pytest.mark.parametrize("program", PROGRAMS)
def test_a_drawing_program_may_say_the_same_in_its_own_way(read: Read, printed, program: str) -> None:
    own, problems = read(PROGRAMS[program])
    assert own and not problems
    plain = f'{HEAD} width="18mm" height="22mm"><rect x="2" y="3" width="5" height="5" fill="#f00"/></svg>'
    drawn, expected = printed([own.svg, plain], width_mm=18, height_mm=22, ppi=100)
    assert np.array_equal(np.asarray(drawn), np.asarray(expected))


@pytest.mark.parametrize(
    ("svg", "rule", "said"),
    [
        (f"{HEAD}><path d='M0 0'/>", "drawing-file", "not whole SVG from here on"),
        ("<!DOCTYPE svg [<!ENTITY a 'b'>]><svg/>", "drawing-file", "definitions of its own"),
        ("<svg xmlns='http://www.w3.org/2000/svg'><path d='M0 0'/></svg>", "drawing-file", "no view box"),
        ("<html><path/></html>", "drawing-file", "no view box"),
        (f"{HEAD}><text>Mirror</text></svg>", "drawing-file", "holds no shape"),
        (f"{HEAD}>" + "<path d='M0 0'/>" * 5000 + "</svg>", "drawing-file", "more than 5,000 elements"),
        (f"{HEAD} width='0'>" + "<g>" * 60 + "<path/>" + "</g>" * 60 + "</svg>", "drawing-file", "holds no shape"),
    ],
)
def test_a_drawing_that_cannot_be_used_is_named_with_a_remedy(read: Read, svg: str, rule: str, said: str) -> None:
    own, problems = read(svg)
    assert own is None
    (problem,) = problems
    assert (problem.rule, problem.severity) == (rule, "error")
    assert said in str(problem.message) and problem.remedy


@pytest.mark.parametrize(
    "heavy",
    [
        "<style>" + ".a" * 300_000 + "</style><path/>",
        "<style>" + "{" * 500_000 + "</style><path/>",
        f"<path transform='{'translate(1 ' * 50_000}'/>",
        f"<path transform='{'translate(1)  ' * 50_000}!'/>",
        f"<path d='{'1' * 900_000}!' stroke-width='{'1 ' * 10_000}!'/>",
        f"<path style='{'a:b;' * 200_000}'/>",
        "<g>" * 100_000 + "</g>" * 100_000,
        f"<rect width='{'1' * 900_000}'/>",
    ],
    ids=range(8),
)
def test_a_drawing_made_to_be_slow_is_read_in_a_second(read: Read, heavy: str) -> None:
    start = time.process_time()
    read(f"{HEAD}>{heavy}</svg>")
    read("<!DOCTYPE" * 100_000)
    assert time.process_time() - start < 1


def test_an_own_drawing_stands_wherever_the_working_end_would(example: Practice, example_plan: Plan) -> None:
    own = example.drawings["buccal-mirror"]
    brief = Brief(practice=example, plan=example_plan, words=built_in_catalog("en"))
    assert tip_of(brief, "buccal-mirror").name == f"own-buccal-mirror-{own.digest}"
    assert tip_of(brief, "occlusal-mirror").name == "tip-photo-mirror"
    assert own.digest in repr(instrument_card(brief))
    assert [picture.name for picture in in_pouch(brief, "photo")][1] == f"own-buccal-mirror-{own.digest}"
    assert own.digest not in repr(template(brief, "core"))


def test_the_survey_shows_it_too(example: Practice) -> None:
    own = example.drawings["buccal-mirror"]
    shown = [repr(card).count(f"own-buccal-mirror-{own.digest}") for card in make_survey(example).cards]
    assert sorted(filter(None, shown)) == [1, 1, 1], "the count, and a uses sheet for each half of the procedures"


def test_another_drawing_is_another_picture_and_a_better_spaced_one_is_not(read: Read) -> None:
    first, _ = read(f"{HEAD}><path d='M0 0 H5'/></svg>")
    spaced, _ = read(f"{HEAD}>\n  <path  d='M0  0 H5' />\n</svg>")
    other, _ = read(f"{HEAD}><path d='M0 0 H6'/></svg>")
    assert first and spaced and other
    assert first.digest == spaced.digest != other.digest


def test_the_drawing_of_the_example_is_clean(example: Practice) -> None:
    assert set(example.drawings) == {"buccal-mirror"}
    assert not [problem for problem in example.problems if "drawings" in problem.path]
