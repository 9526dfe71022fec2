"""What the typeface can print, held against the press itself: Typst, which refuses a letter that it lacks."""

from __future__ import annotations

from functools import cache

import pytest
import typst

from kitdocs.practice.typeface import FOLDER, printable, unprintable

#: Letters, accents, blanks and signs from every block that a practice is likely to write in.
_LETTERS = [
    *map(chr, range(0x21, 0x7F)),
    *map(chr, range(0xA0, 0x250, 3)),
    *map(chr, range(0x2000, 0x2070, 5)),
    *map(chr, range(0x300, 0x370, 7)),
    *"→✓☎°µ½×€™ΩЩعẓ矫🦷ﬁ",
]


@cache
def _fonts() -> typst.Fonts:
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(FOLDER)])


def _pressed(letters: str) -> bool:
    """Whether Typst prints all of some letters; as PDF/UA-1 it refuses to leave one out."""
    source = '#set document(title: "t")\n#set text(font: "Atkinson Hyperlegible", fallback: false)\n'
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
    assert [letter for letter in _LETTERS if letter not in ours and _pressed(letter)] == []
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
