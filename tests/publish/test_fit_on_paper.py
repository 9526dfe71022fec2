"""Whatever the language and the practice, every word finds room where it is printed: a scan of the finished sheets."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pypdfium2 as pdfium
import pytest
from ink_scan import FROM_TRIM, FROM_TRIM_OF_LABEL, Fault, faults
from paper_draws import Drawn
from pdf_pages import page_sizes_mm, page_texts
from pseudo_language import PseudoLanguage, pseudo_practice
from sample_handbook import chair_card, pouch_items, sample_handbook
from test_print_poster import poster_of

from kitdocs.document.card import Handbook
from kitdocs.handbook.build_handbook import make_handbook
from kitdocs.handbook.survey.build_survey import make_survey
from kitdocs.planning.plan import make_plan
from kitdocs.practice.model import Practice
from kitdocs.practice.reading.reader import read_practice
from kitdocs.publish.print.documents import (
    BINDER,
    FORMS,
    LABELS,
    POSTER,
    POUCH_LISTS,
    REFILL_CARDS,
    SET_TEMPLATES,
    Document,
    sheets,
)
from kitdocs.publish.print.rendering import Rendering

pytestmark = pytest.mark.whole

LONGER, JOINED = PseudoLanguage(0.6), PseudoLanguage(joined=True)

#: What has boxes, rows or lines of a fixed size. `tests/bench/bench_fit.py` scans every document in more languages.
BOXED = (REFILL_CARDS, LABELS, POSTER, FORMS, POUCH_LISTS, SET_TEMPLATES)


@cache
def practice_in(language: PseudoLanguage) -> Practice:
    with TemporaryDirectory() as folder:
        return read_practice(pseudo_practice(Path(folder) / "practice", language))


@cache
def example_in(language: PseudoLanguage) -> Handbook:
    practice = practice_in(language)
    return make_handbook(practice, make_plan(practice, days=1))


@pytest.mark.parametrize("document", BOXED, ids=lambda of: of.file)
@pytest.mark.parametrize("language", [LONGER, JOINED], ids=["longer", "joined"])
def test_no_ink_is_off_its_sheet_on_other_text_or_across_an_edge(language, document: Document):
    assert faults_of(document, example_in(language)) == []


def faults_of(document: Document, handbook: Handbook) -> list[Fault]:
    pdf = document.render(Rendering(handbook))
    return faults(pdf, from_cut=FROM_TRIM_OF_LABEL if document is LABELS else FROM_TRIM)


@pytest.mark.parametrize("language", [LONGER, JOINED], ids=["longer", "joined"])
def test_sheets_of_a_first_visit_have_room_for_their_words(language):
    for survey in (make_survey(practice_in(language)), make_survey()):
        assert faults(sheets(survey, survey.cards, title="survey")) == []


@pytest.mark.parametrize(
    "drawn",
    [{"chairs": 1}, {"chairs": 12}, {"chairs": 40}, {"pieces": 1}, {"pieces": 15}, {"pouches": False}],
    ids=lambda drawn: "-".join(f"{key}-{value}" for key, value in drawn.items()),
)
def test_whatever_a_practice_has_finds_room(example, drawn):
    practice = Drawn(**drawn).practice(example)
    handbook = make_handbook(practice, make_plan(practice, days=1), "en")
    for document in BOXED:
        assert (document.file, faults_of(document, handbook)) == (document.file, [])
    front = page_texts(BINDER.render(Rendering(handbook)))
    assert "100 mm" in front[1], "the cover is one page, and its back shows whether the printer prints true"


@pytest.mark.parametrize("name", ["Consultation room of the annex", "Behandlungsstuhl am Fenster", "Untersuchung"])
def test_a_poster_of_twelve_long_names_is_one_sheet_or_two(name):
    pdf = poster_of(12, name=name)
    assert len(page_sizes_mm(pdf)) <= 2
    assert faults(pdf) == []
    words = " ".join(page_texts(pdf))
    assert all(f"{name.split()[-1]} {n + 1}" in words for n in range(12))


def test_a_rail_on_which_nothing_lies_is_not_printed(example):
    """Sixteen bare frames would be packed as sixteen cassettes."""
    roomy = {id_: of.model_copy(update={"rails": 4}) for id_, of in example.cassettes.items()}
    practice = replace(example, cassettes=roomy)
    plan = make_plan(practice, days=1)
    handbook = make_handbook(practice, plan, "en")
    pages = page_texts(SET_TEMPLATES.render(Rendering(handbook)))
    for set_id, fit in plan.fits.items():
        title, rails = handbook.card(f"t/{set_id}").title, len({laid.rail for laid in fit.layout})
        assert sum(title in page for page in pages) in (rails, rails + 1)
        assert any(f"Layer {rails} of {rails}" in page for page in pages if title in page) == (rails > 1)


#: German is a language in which Typst parts words, Vietnamese one of which nobody has told it how.
@pytest.mark.parametrize("language", ["de", "vi"])
def test_a_word_that_is_wider_than_its_row_is_parted_and_no_letter_is_lost(language):
    name = "Bracketentfernungszangenaufbewahrungsbehälterbeschriftung"
    item = replace(pouch_items(1)[0], name=name, detail=name.lower())
    card = chair_card("r/x", name="Chair", word="teal", colour="#00766c", items=(item,) * 4)
    pdf = REFILL_CARDS.render(Rendering(replace(sample_handbook(card), language=language)))
    assert faults(pdf) == []
    letters = "".join(filter(str.isalpha, page_texts(pdf)[0]))
    assert (letters.count(name), letters.count(name.lower())) == (4, 4)


def test_a_name_with_a_hyphen_is_broken_in_front_where_the_line_can():
    item = replace(pouch_items(1)[0], detail="BW · Bird-beak plier · Three-prong plier · Adhesive-removing plier")
    card = chair_card("r/x", name="Chair", word="teal", colour="#00766c", items=(item,))
    page = pdfium.PdfDocument(REFILL_CARDS.render(Rendering(sample_handbook(card))))[0]
    lines = page.get_textpage().get_text_bounded().splitlines()
    assert any("Three" in line for line in lines)
    assert not [line for line in lines if line.rstrip().endswith(("-", "\x02"))]
