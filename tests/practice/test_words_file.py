"""``words.<language>.yaml``: what it must hold, what a translator is told, and the file that is written for one."""

from __future__ import annotations

import gettext
import io
import json
import re
import shutil
from functools import cache
from pathlib import Path

import pytest
from asking import Ask
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po
from bad_inputs import VALID, outcome

from kitdocs.document.catalog import catalog_for
from kitdocs.handbook.build_handbook import make_handbook
from kitdocs.planning.plan import make_plan
from kitdocs.practice import scripts
from kitdocs.practice.problems import KitdocsError
from kitdocs.practice.reading.reader import read_practice
from kitdocs.practice.reading.words_file import read_words
from kitdocs.practice.sentences import plural_forms, shipped_sentences, wanted
from kitdocs.practice.writing import scalar
from kitdocs.starter import start
from kitdocs.starter.words_file import words_text, write_words
from kitdocs.version import __version__


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    shutil.copytree(VALID, tmp_path, dirs_exist_ok=True)
    practice = tmp_path / "practice.yaml"
    practice.write_text(practice.read_text("utf-8").replace("[en]", "[en, it]"), "utf-8")
    return tmp_path


@cache
def whole(language: str) -> str:
    return words_text(
        language, {key: english.upper() if "{" not in english else english for key, english in wanted(language).items()}
    )


def test_a_whole_file_adds_a_language(folder: Path) -> None:
    (folder / "words.it.yaml").write_text(whole("it"), "utf-8")
    practice = read_practice(folder)
    assert [problem.rule for problem in practice.problems] == []
    assert practice.words["it"]["card.section.audit"] == "CURRENT CARDS"
    assert set(practice.words["it"]) == set(wanted("it"))


def test_what_is_not_translated_is_told_once_and_in_numbers(folder: Path) -> None:
    write_words(folder, "it")
    every = f"{len(wanted('it')):,}"
    first, second, third, *_ = wanted("it")
    (head, *_) = outcome(folder).splitlines()
    assert head.startswith(f"words.it.yaml:1:1: words.it: warning (untranslated): {every} of {every} sentences")
    assert head.endswith(f" are not translated yet and are said in English: {first}, {second}, {third}, …")
    assert outcome(folder).count("not translated") == 1
    text = whole("it").replace('skip: "SKIP TO CONTENT"', "skip:")
    (folder / "words.it.yaml").write_text(text, "utf-8")
    assert f"1 of {every} sentences are not translated yet and are said in English: site.skip\n" in outcome(folder)


def test_what_is_not_translated_is_said_in_english(tmp_path: Path) -> None:
    """A handbook is made all the same; a language that is built in has nothing to fall back on."""
    folder = tmp_path / "ours"
    start(folder)
    settings = folder / "practice.yaml"
    settings.write_text(settings.read_text("utf-8").replace("languages: [en]", "languages: [it, en]"), "utf-8")
    words = {"card": {"and": "e"}, "lookup": {"instrument": {"place": {"one": "la place {places}"}}}}
    (folder / "words.it.yaml").write_text(json.dumps(words), "utf-8")
    practice = read_practice(folder)
    italian = catalog_for("it", practice.words)
    assert (italian("card.and"), italian("site.skip")) == ("e", shipped_sentences("en")["site.skip"])
    assert italian.count("lookup.instrument.place", 1, places="2") == "la place 2"
    assert italian.count("lookup.instrument.place", 2, places="1, 2") == "places 1, 2"
    book = make_handbook(practice, make_plan(practice, days=5), "it")
    assert book.card("r/chair-1").section == shipped_sentences("en")["card.section.refill"]
    assert set(wanted("es")) <= set(shipped_sentences("es"))


def test_a_file_in_which_nothing_is_translated_yet_speaks_english(folder: Path) -> None:
    write_words(folder, "it")
    practice = read_practice(folder)
    assert [problem.severity for problem in practice.problems] == ["warning"]
    assert catalog_for("it", practice.words)("site.skip") == shipped_sentences("en")["site.skip"]
    with pytest.raises(KitdocsError, match="no words for the language 'it'"):
        catalog_for("it", {})


def test_a_sentence_that_is_wrong_is_not_called_missing_too(folder: Path) -> None:
    text = re.sub(r'title: "Refill: .*"', 'title: "Riempire"', whole("it"))
    (folder / "words.it.yaml").write_text(text, "utf-8")
    told = outcome(folder)
    assert "{chair} is missing" in told
    assert "not translated" not in told


def test_a_file_half_way_keeps_nobody_from_publishing_the_other_languages(folder: Path) -> None:
    practice = folder / "practice.yaml"
    practice.write_text(practice.read_text("utf-8").replace("[en, it]", "[en]"), "utf-8")
    write_words(folder, "it")
    assert [problem.rule for problem in read_practice(folder).problems] == ["unused-words"]


def test_one_pouch_needs_no_number_but_several_do(folder: Path) -> None:
    (folder / "words.en.yaml").write_text("card: {days: {one: a day, other: days}}", "utf-8")
    file = read_words(folder, "words.en.yaml", "en")
    assert file.sentences == {"card.days.one": "a day"}
    assert [problem.path for problem in file.problems] == ["words.en.card.days.other"]


@pytest.mark.parametrize(
    "sentence", ["{n.__class__} days", "{n!r} days", "{n:>9} days", "{} days", "{0} days", "n} days"]
)
def test_nothing_but_a_plain_placeholder_is_filled(folder: Path, sentence: str) -> None:
    (folder / "words.en.yaml").write_text(f"card: {{days: {{other: {json.dumps(sentence)}}}}}", "utf-8")
    file = read_words(folder, "words.en.yaml", "en")
    assert [problem.rule for problem in file.problems] == ["placeholder"]
    assert file.sentences == {}


@pytest.mark.parametrize("text", ["- a\n- b\n", "just words\n", "card: [a]\n", "card: 3\n"])
def test_what_is_no_list_of_sentences_is_told(folder: Path, text: str) -> None:
    (folder / "words.en.yaml").write_text(text, "utf-8")
    assert len(read_words(folder, "words.en.yaml", "en").problems) == 1


def test_the_file_has_the_forms_that_the_language_counts_in(folder: Path) -> None:
    write_words(folder, "pl")
    text = (folder / "words.pl.yaml").read_text("utf-8")
    assert [*plural_forms("pl")] == ["one", "few", "many"]
    days = text[text.index("  days:") : text.index("  period:")]
    assert days.split("\n")[1:-1] == [
        "    # for 1 ...: {n} day",
        "    one:",
        "    # for 2, 3, 4, 22 ...: {n} days",
        "    few:",
        "    # for 5, 6, 7, 8 ...: {n} days",
        "    many:",
    ]


def test_writing_again_keeps_every_sentence_that_is_there(folder: Path) -> None:
    path = folder / "words.it.yaml"
    path.write_text('card:\n  and: e\n  days: {many: "{n} di giorni"}\n', "utf-8")
    written = write_words(folder, "it")
    assert (written.all - written.missing, written.path) == (1, path)
    assert read_words(folder, path.name, "it").sentences == {"card.and": "e", "card.days.many": "{n} di giorni"}
    before = path.read_bytes()
    write_words(folder, "it")
    assert path.read_bytes() == before
    assert not [p for p in folder.iterdir() if p.name.endswith(".new")]


def test_a_practice_may_add_groups_of_synonyms_and_nothing_else(folder: Path) -> None:
    settings = folder / "practice.yaml"
    settings.write_text(settings.read_text("utf-8").replace("[en, it]", "[en]"), "utf-8")
    path = folder / "words.en.yaml"
    path.write_text("synonyms:\n  splint: bite plate, night guard\n", "utf-8")
    practice = read_practice(folder)
    assert practice.words["en"] == {"synonyms.splint": "bite plate, night guard"}
    write_words(folder, "en")
    assert read_words(folder, path.name, "en").sentences == {"synonyms.splint": "bite plate, night guard"}
    path.write_text("synonyms:\n  splint: bite {plate}\n", "utf-8")
    assert outcome(folder).startswith("words.en.yaml:2:11: words.en.synonyms.splint: ")
    path.write_text("heard:\n  splint: bite plate\n", "utf-8")
    assert outcome(folder).startswith("words.en.yaml:2:3: words.en.heard.splint: "), "what can go wrong is settled"


def test_a_file_with_a_mistake_is_left_as_it_is(folder: Path) -> None:
    path = folder / "words.it.yaml"
    path.write_text("card:\n  andd: e\n", "utf-8")
    with pytest.raises(KitdocsError, match=r"did you mean 'card\.and'"):
        write_words(folder, "it")
    assert path.read_text("utf-8") == "card:\n  andd: e\n"


def test_of_a_language_that_kitdocs_speaks_nothing_is_missing(folder: Path) -> None:
    assert write_words(folder, "es").missing == 0
    assert "# Tarjetas vigentes" in (folder / "words.es.yaml").read_text("utf-8")


def test_no_file_is_written_for_what_is_no_language_or_no_folder(folder: Path) -> None:
    with pytest.raises(KitdocsError, match="'xx' is no language"):
        write_words(folder, "xx")
    for code in ("FR", "fr.yaml", "fr_CA", ""):  # babel takes each of these for French, or nearly
        with pytest.raises(KitdocsError, match=f"'{re.escape(code)}' is no language"):
            write_words(folder, code)
    with pytest.raises(KitdocsError, match="no folder"):
        write_words(folder / "nowhere", "it")
    (folder / "pages").mkdir(exist_ok=True)
    with pytest.raises(KitdocsError, match=r"holds no practice\.yaml"):
        write_words(folder / "pages", "it")
    assert not list(folder.rglob("words.*"))


def test_a_sentence_of_only_a_placeholder_without_quotes_is_told_and_stays(folder: Path) -> None:
    path = folder / "words.it.yaml"
    path.write_text("card:\n  and: {n}\n", "utf-8")  # YAML takes it for a table
    with pytest.raises(KitdocsError, match="put it in quotes"):
        write_words(folder, "it")
    assert path.read_text("utf-8") == "card:\n  and: {n}\n"


def test_of_a_language_in_other_letters_it_is_said_before_anybody_translates(folder: Path, ask: Ask) -> None:
    refused = ask("words", folder, "ja")
    assert refused.status == 1 and "no typeface for the letters of 'ja'" in refused.err
    assert ask("words", folder, "he").status == 0
    for language in ("sr", "pl"):
        assert "Latin letters" not in ask("words", folder, language).out


def test_of_letters_whose_typeface_is_not_installed_it_is_said_how_to_get_it(
    folder: Path, ask: Ask, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(scripts, "_folder", lambda module: None)
    refused = ask("words", folder, "he")
    assert refused.status == 1 and "pip install 'kitdocs[letters]'" in refused.err and "Hebrew letters" in refused.err
    assert not (folder / "words.he.yaml").exists()
    assert "without it, write 'sr' in Latin letters" in ask("words", folder, "sr").out  # Serbian is written in both
    assert "Latin letters" not in ask("words", folder, "pl").out


def test_a_translators_program_gets_and_gives_a_po_file(folder: Path, ask: Ask, tmp_path: Path) -> None:
    """Compiled, it is read by the gettext of Python's own library, which shares nothing with babel."""
    (folder / "words.it.yaml").write_text("card:\n  and: e\n", "utf-8")
    po = tmp_path / "fr.po"
    assert ask("words", folder, "it", "--po", po).status == 0
    head = po.read_text("utf-8").partition("\n\n")[0]
    assert head.startswith("# Sentences of kitdocs in Italian.") and f"kitdocs {__version__}" in head
    assert not re.search(r"VERSION|ADDRESS|FULL NAME|ORGANIZATION|FIRST AUTHOR|LL@li", head)
    catalog = read_po(io.BytesIO(po.read_bytes()), locale="it")
    compiled = io.BytesIO()
    write_mo(compiled, catalog)
    translations = gettext.GNUTranslations(io.BytesIO(compiled.getvalue()))
    assert translations.pgettext("card.and", "and") == "e"
    by_key = {message.context: message for message in catalog if message.id}
    assert {key: message.id for key, message in by_key.items()} == dict(wanted("it"))
    by_key["site.skip"].string = 'Vai al "contenuto"'
    by_key["card.hangs.bench"].string = "incertain"
    by_key["card.hangs.bench"].flags.add("fuzzy")
    back = tmp_path / "back.po"
    with back.open("wb") as file:
        write_po(file, catalog)
    assert ask("words", folder, "it", "--from-po", back).status == 0
    assert read_practice(folder).words["it"] == {"card.and": "e", "site.skip": 'Vai al "contenuto"'}
    first, second = tmp_path / "one.po", tmp_path / "two.po"
    assert ask("words", folder, "it", "--po", first).status == ask("words", folder, "it", "--po", second).status == 0
    assert first.read_bytes() == second.read_bytes() != po.read_bytes()
    assert ask("words", folder, "it", "--po", first).status == 1  # somebody may have edited it


def test_a_po_file_with_a_mistake_changes_nothing(folder: Path, ask: Ask, tmp_path: Path) -> None:
    words = folder / "words.it.yaml"
    assert ask("words", folder, "it").status == 0
    before = words.read_bytes()
    po = tmp_path / "fr.po"
    for text, told in (
        ('msgctxt "card.nothing"\nmsgid "x"\nmsgstr "y"\n', "card.nothing"),
        ('msgctxt "card.template.title"\nmsgid "x"\nmsgstr "sans rien"\n', "{set} is missing"),
        ("msgid nonsense\n", "no PO file"),
    ):
        po.write_text(text, "utf-8")
        refused = ask("words", folder, "it", "--from-po", po)
        assert refused.status == 1 and told in refused.err
        assert words.read_bytes() == before
    assert "cannot be read" in ask("words", folder, "it", "--from-po", tmp_path / "none.po").err


def test_a_key_is_text_even_where_it_looks_like_a_number() -> None:
    assert [scalar(key) for key in ("1", "envelope-1")] == ['"1"', "envelope-1"]


def test_the_command_says_how_much_is_left_to_translate(folder: Path, ask: Ask) -> None:
    every = len(wanted("it"))
    answer = ask("words", folder, "it")
    assert answer.status == 0
    assert answer.out == f"wrote {folder / 'words.it.yaml'}: {every} of {every} sentences left to translate\n"
    (folder / "words.it.yaml").write_text(whole("it"), "utf-8")
    assert ask("words", folder, "it").out.endswith("words.it.yaml: nothing left to translate\n")
    refused = ask("words", folder, "xx")
    assert refused.status == 1 and "'xx' is no language" in refused.err
