"""What the typeface can print, held against the press itself: Typst, which refuses a letter that it lacks."""

from __future__ import annotations

from functools import cache

import pytest
import typst

from kitdocs.practice import scripts, typeface
from kitdocs.practice.typeface import (
    FOLDER,
    font_folders,
    is_letter,
    letters_problem,
    more_families,
    printable,
    unprintable,
)

#: Letters, accents, blanks and signs from every block that a practice is likely to write in.
_LETTERS = [
    *map(chr, range(0x21, 0x7F)),
    *map(chr, range(0xA0, 0x250, 3)),
    *map(chr, range(0x2000, 0x2070, 5)),
    *map(chr, range(0x300, 0x370, 7)),
    *"→✓☎°µ½×€™ΩщάЙשךعپ٣،ẓ矫क🦷ﬁ",
]


@cache
def _fonts() -> typst.Fonts:
    folders = [str(folder) for folder in font_folders()]
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=folders)


def _pressed(letters: str) -> bool:
    """Whether Typst prints all of some letters; as PDF/UA-1 it refuses to leave one out."""
    families = ", ".join(f'"{family}"' for family in ("Atkinson Hyperlegible", *more_families()))
    source = f'#set document(title: "t")\n#set text(font: ({families}), fallback: false)\n'
    source += "\n".join(f'#"x\\u{{{ord(letter):x}}}"' for letter in letters)
    try:
        typst.Compiler(font_paths=_fonts()).compile({"main.typ": source.encode()}, format="pdf", pdf_standards=["ua-1"])  # type: ignore[type-var]
    except typst.TypstError as error:
        assert "could not be displayed" in error.diagnostic, error
        return False
    return True


def test_a_letter_counts_as_printable_just_when_the_press_prints_it() -> None:
    ours = [letter for letter in _LETTERS if printable(letter)]
    assert _pressed("".join(ours)) or [letter for letter in ours if not _pressed(letter)] == []
    # Of another script's typeface only its own letters are used: what is installed changes no other sign.
    theirs = [letter for letter in _LETTERS if letter not in ours and _pressed(letter)]
    assert not [letter for letter in theirs if scripts.script_of_letter(letter)]
    assert 0 < len(ours) < len(_LETTERS)


@pytest.mark.parametrize(
    ("text", "lacking"),
    [
        ("Café, niño, Łódź — “½ in”\n\t×", []),
        ("Cafe\u0301", []),  # e and an accent, which are one letter when they are put together
        ("a tooth 🦷, a ✓ and a 🦷", ["🦷", "✓"]),
    ],
)
def test_what_is_lacking_is_named_once_and_in_order(text: str, lacking: list[str]) -> None:
    assert unprintable(text) == lacking


@pytest.mark.parametrize(
    ("language", "letters"),
    [
        ("he", "אבגדהוזחטיכךלמםנןסעפףצץקרשת״׳־"),
        ("ar", "ابتثجحخدذرزسشصضطظعغفقكلمنهويىةأإآؤئء،؟"),
        ("ru", "абвгдеёжзийклмнопрстуфхцчшщъыьэюя"),
        ("el", "αβγδεζηθικλμνξοπρσςτυφχψωάέήίόύώϊΰ"),
    ],
)
def test_a_language_of_other_letters_has_all_that_its_alphabet_has(language: str, letters: str) -> None:
    """The alphabets are from memory."""
    assert unprintable(letters + letters.upper()) == []
    assert not all(ord(letter) in _latin() for letter in letters)
    script = next(script for script in scripts.SCRIPTS if script.code == scripts.script_code(language))
    assert {scripts.script_of_letter(letter) for letter in letters if letter.isalpha()} == {script}


def _latin() -> set[int]:
    from fontTools.ttLib import TTFont  # noqa: PLC0415

    return set(TTFont(FOLDER / "AtkinsonHyperlegible-Regular.ttf").getBestCmap())


def test_where_no_typeface_of_a_script_is_installed_the_problem_says_how_to_get_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert printable("ש")
    monkeypatch.setattr(scripts, "_folder", lambda module: None)
    for kept in (printable, typeface._letters_of):
        kept.cache_clear()
    try:
        assert not is_letter("ש") and not printable("ש")
        assert letters_problem(["ש"]) == (
            "letters-of-script",
            {"letters": "'ש' (U+05E9)", "scripts": "Hebrew", "extra": "kitdocs[letters]"},
        )
        assert letters_problem(["ש", "☎"])[0] == "letters", "an installation would not help"
    finally:
        for kept in (printable, typeface._letters_of):
            kept.cache_clear()
