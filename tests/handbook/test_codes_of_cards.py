"""Codes that hold the card's own text, because the practice has no site."""

from __future__ import annotations

import pytest
from segno.consts import ERROR_LEVEL_Q, SYMBOL_CAPACITY

from kitdocs.document.edition import LENGTH
from kitdocs.drawings.codes import code
from kitdocs.handbook.codes import LARGEST_PAYLOAD_BYTES, LARGEST_VERSION, TEXT_BYTES, shortened
from kitdocs.planning.legibility import code_modules, code_side_mm

EDITION = "K7Q2D"


def test_the_largest_payload_is_what_the_largest_version_within_40_mm_holds() -> None:
    # ISO/IEC 18004 by segno: the capacity in bits, less 4 for the mode and 16 for the number of bytes.
    assert (SYMBOL_CAPACITY[LARGEST_VERSION][ERROR_LEVEL_Q] - 20) // 8 == LARGEST_PAYLOAD_BYTES  # type: ignore[index]
    assert code_side_mm(250, code_modules(LARGEST_VERSION)) <= 40 < code_side_mm(250, code_modules(LARGEST_VERSION + 1))


@pytest.mark.parametrize("letter", ["a", "é"])
@pytest.mark.parametrize("length", range(TEXT_BYTES - 3, TEXT_BYTES + 4))
def test_a_text_with_its_edition_never_needs_more_than_40_mm(letter: str, length: int) -> None:
    """At 236 bytes of text a code once grew to version 14, which is 40.5 mm wide."""
    text = "Chair 1\n" + letter * ((length - len("Chair 1\n")) // len(letter.encode()))
    assert len(EDITION) == LENGTH
    drawn = code(f"{shortened(text)}\n{EDITION}", level="Q")
    assert code_side_mm(250, code_modules(drawn.version)) <= 40


def test_a_text_is_kept_whole_up_to_the_last_byte() -> None:
    full = "a" * TEXT_BYTES
    assert shortened(full) == full
    assert code(f"{full}\n{EDITION}", level="Q").version == LARGEST_VERSION
    assert shortened("a" * (TEXT_BYTES + 1)) == "…"


def test_lines_that_do_not_fit_are_left_out_and_that_is_shown() -> None:
    # The break takes 1 byte and "…" takes 3.
    full = "a" * (TEXT_BYTES - 4)
    assert shortened(f"{full}\nmore") == f"{full}\n…"
    assert shortened(f"{full}a\nmore") == "…"
