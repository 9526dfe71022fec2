"""What kitdocs says in a language: counted in the language's own forms, brought by the practice, never mixed."""

from __future__ import annotations

import dataclasses
import html
import io
import re
import string

import pikepdf
import pypdfium2
import pytest
import yaml

from kitdocs.document.card import Handbook
from kitdocs.document.catalog import MessageCatalog, built_in_catalog, catalog_for
from kitdocs.handbook.build_handbook import make_handbook
from kitdocs.handbook.fixed_size import cards_of_fixed_size
from kitdocs.planning.colours.names import NAMES
from kitdocs.planning.plan import Plan
from kitdocs.practice.colours import KEPT_FOR_DANGER, NAMED
from kitdocs.practice.model import Practice
from kitdocs.practice.sentences import plural_forms, shipped_sentences, wanted
from kitdocs.publish.print.documents import REFILL_CARDS
from kitdocs.publish.print.rendering import Rendering
from kitdocs.publish.site.build_site import site
from kitdocs.starter.words_file import words_text

_SHIFTED = str.maketrans("aeiouAEIOU", "eiouaEIOUA")


def shifted(sentence: str) -> str:
    """A mechanical translation: every vowel becomes the next one; what stands in braces stays."""
    parts = string.Formatter().parse(sentence)
    return "".join(text.translate(_SHIFTED) + (f"{{{name}}}" if name else "") for text, name, _, _ in parts)


@pytest.fixture(scope="module")
def mechanical(example: Practice) -> Practice:
    """The example with a third language, whose words were made from the file that the command writes."""
    file = yaml.safe_load(words_text("it"))
    sentences: dict[str, str] = {}

    def fill(prefix: str, tree: dict[str, object]) -> None:
        for name, part in tree.items():
            key = f"{prefix}{name}"
            if isinstance(part, dict):
                fill(f"{key}.", part)
            else:
                assert part is None, "the file leaves every sentence to be written"
                sentences[key] = shifted(wanted("it")[key])

    fill("", file)
    assert set(sentences) == set(wanted("it"))
    settings = example.settings.model_copy(update={"languages": ("en", "es", "it")})
    return dataclasses.replace(example, settings=settings, words={"it": sentences})


@pytest.fixture(scope="module")
def third(mechanical: Practice, example_plan: Plan) -> Handbook:
    return make_handbook(mechanical, example_plan, "it")


@pytest.fixture(scope="module")
def three(mechanical: Practice, example_plan: Plan, third: Handbook) -> tuple[Handbook, ...]:
    return (*(make_handbook(mechanical, example_plan, language) for language in ("en", "es")), third)


@pytest.mark.whole
def test_a_language_of_the_practices_own_has_every_page_and_no_english_sentence_of_ours(
    mechanical: Practice, three: tuple[Handbook, ...]
) -> None:
    files = site(three)
    english = [
        sentence
        for sentence in shipped_sentences("en").values()
        if " " in sentence and shifted(sentence) != sentence and "{" not in sentence
    ]
    assert len(english) > 200
    pages = {
        path: content.decode() for path, content in files.items() if path.startswith("it/") and path[-4:] == "html"
    }
    assert len(pages) > len(three[2].cards)
    found = {}
    for path, page in pages.items():
        assert '<html lang="it"' in page
        text = html.unescape(re.sub(r"<[^>]*>", "\n", page))
        lines = {" ".join(line.split()) for line in text.splitlines()}
        if not path.startswith("it/pages/"):  # the practice's own prose
            found.update({sentence: path for sentence in english if sentence in lines})
    practice = {str(text) for text in _names(mechanical)}
    assert {sentence: path for sentence, path in found.items() if sentence not in practice} == {}
    assert shifted("Skip to content") in pages["it/index.html"]


def _names(practice: Practice) -> list[object]:
    tables = (practice.instruments, practice.sets, practice.pouches, practice.procedures, practice.cassettes)
    return [record.name for table in tables for record in table.values()]


@pytest.mark.usefixtures("codes_alike")
def test_the_names_of_plain_colours_are_words_of_the_language(
    mechanical: Practice, example_plan: Plan, example_handbooks: tuple[Handbook, ...]
) -> None:
    only_italian = mechanical.settings.model_copy(update={"languages": ("it",)})
    books = (
        *example_handbooks,
        *cards_of_fixed_size(dataclasses.replace(mechanical, settings=only_italian), example_plan),
    )
    names = [{card.subtitle for card in book.cards if card.kind == "refill-chair"} for book in books]
    assert "Teal" in names[0] and "Turquesa" in names[1] and shifted("teal").title() in names[2]
    for language in ("en", "es"):
        assert set(built_in_catalog(language).part("colour")) == {*NAMES, *KEPT_FOR_DANGER}
    assert set(NAMES) >= set(NAMED)


# Unicode CLDR 44, "Language Plural Rules", cardinals: pl has one (1), few (2-4, 22-24, ...) and many; ar six forms.
@pytest.mark.parametrize(
    ("language", "numbers"),
    [
        ("en", {0: "other", 1: "one", 2: "other", 21: "other"}),
        ("fr", {0: "one", 1: "one", 2: "other"}),
        ("pl", {1: "one", 2: "few", 5: "many", 12: "many", 22: "few", 25: "many"}),
        ("ar", {0: "zero", 1: "one", 2: "two", 3: "few", 11: "many", 100: "other"}),
    ],
)
def test_a_language_counts_in_its_own_forms(language: str, numbers: dict[int, str]) -> None:
    words = MessageCatalog(language, {f"x.{form}": f"{form} {{n}}" for form in plural_forms(language)})
    assert {n: words.count("x", n) for n in numbers} == {n: f"{form} {n}" for n, form in numbers.items()}


def test_the_form_for_very_large_numbers_may_be_left_out() -> None:
    # CLDR has a form of its own for millions in Spanish: 1 000 000 de bolsas.
    words = MessageCatalog("es", {"x.one": "{n} bolsa", "x.other": "{n} bolsas"})
    assert words.count("x", 1_000_000) == "1,000,000 bolsas"


def test_a_practice_says_single_sentences_its_own_way(example: Practice) -> None:
    practice = dataclasses.replace(example, words={"es": {"card.section.audit": "Lista de control"}})
    words = catalog_for("es", practice.words)
    assert words("card.section.audit") == "Lista de control"
    assert words("card.section.start") == built_in_catalog("es")("card.section.start")
    assert catalog_for("en", practice.words) is built_in_catalog("en")


@pytest.mark.parametrize(("language", "direction"), [("en", "ltr"), ("es", "ltr"), ("ar", "rtl"), ("he", "rtl")])
def test_a_language_is_written_in_its_direction(language: str, direction: str) -> None:
    assert MessageCatalog(language, {}).direction == direction


def test_a_page_says_the_direction_of_its_language(example_handbooks: tuple[Handbook, ...]) -> None:
    english = dataclasses.replace(
        example_handbooks[0], languages=("en",), cards=(example_handbooks[0].card("spore-test"),)
    )
    hebrew = MessageCatalog("he", built_in_catalog("en").sentences)
    page = site((dataclasses.replace(english, language="he", languages=("he",), words=hebrew),))["index.html"].decode()
    assert '<html lang="he" dir="rtl">' in page
    assert '<html lang="en" dir="ltr">' in site((english,))["index.html"].decode()


@pytest.mark.whole
def test_a_language_of_the_practices_own_is_printed_without_an_english_sentence_of_ours(
    three: tuple[Handbook, ...],
) -> None:
    pdf = REFILL_CARDS.render(Rendering(three[2]))
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        assert str(opened.Root.Lang) == "it"
    english = [
        sentence
        for sentence in shipped_sentences("en").values()
        if len(sentence) > 30 and "{" not in sentence and shifted(sentence) != sentence
    ]
    assert len(english) > 100
    text = " ".join("".join(page.get_textpage().get_text_bounded() for page in pypdfium2.PdfDocument(pdf)).split())
    assert {sentence for sentence in english if sentence in text} == set()
    assert shifted("flipped on the long edge") in text
