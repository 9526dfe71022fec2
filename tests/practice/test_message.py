"""Messages: values keep their type until they are said, and every language says them."""

from __future__ import annotations

from decimal import Decimal

import pytest

from kitdocs.document.catalog import built_in_catalog
from kitdocs.practice.message import Clock, Duration, Fixed, Joined, Share, Value, counted, message, said
from kitdocs.practice.sentences import shipped_sentences, within_sentence
from kitdocs.practice.values import Text


@pytest.mark.parametrize(
    ("value", "english", "spanish"),
    [
        (1234, "1,234", "1,234"),
        (7.25, "7.25", "7.25"),
        (-2, "−2", "−2"),
        (Fixed(7.0), "7.0", "7.0"),
        (Fixed(1234.56, 0), "1,235", "1,235"),
        (Share(0.955), "95.5 %", "95.5 %"),
        # 2 × 3600 + 53 × 60 = 10380 s; half a minute more is rounded
        (Duration(10380), "2 h 53 min", "2 h 53 min"),
        (Duration(25 * 60), "25 min", "25 min"),
        (Duration(3599), "1 h", "1 h"),
        (Clock(19 * 60 + 30), "19:30", "19:30"),
        (Clock(25 * 60 + 5), "01:05 next day", "01:05 del día siguiente"),
        (Clock(49 * 60), "01:00 +2 d", "01:00 +2 d"),
        (Decimal("1234.5"), "1,234.50", "1,234.50"),
        (Text(by_language=(("en", "Scissors"), ("es", "Tijeras"))), "Scissors", "Tijeras"),
        (Joined((1, 2, 3), " + "), "1 + 2 + 3", "1 + 2 + 3"),
        (Joined(("a", "b", "c")), "a, b and c", "a, b y c"),
        (Joined(("a",)), "a", "a"),
        (counted("figures.people", 1), "1 person", "1 persona"),
        (counted("figures.people", 2), "2 people", "2 personas"),
        (message("figures.buy.name", name=Text(plain="Mirror")), "Mirror to buy", "Mirror, por comprar"),
    ],
)
def test_a_value_is_said_in_the_words_of_each_language(value: Value, english: str, spanish: str) -> None:
    assert built_in_catalog("en").say(value) == english
    assert built_in_catalog("es").say(value) == spanish


@pytest.mark.parametrize(
    ("language", "listed", "noun"), [("en", "a; b", "hook"), ("de", "a; b", "Hook"), ("fr", "a\u00a0; b", "hook")]
)
def test_signs_and_nouns_within_a_line_are_those_of_the_language(language: str, listed: str, noun: str) -> None:
    assert said(Joined(("a", "b"), "; "), shipped_sentences("en"), language) == listed
    assert said(Joined((1, 2), " + "), shipped_sentences("en"), language) == "1 + 2"
    assert (within_sentence("Hook", language), within_sentence("IPR strip", language)) == (noun, "IPR strip")


def test_a_message_is_english_where_nobody_asks_for_a_language() -> None:
    assert str(counted("figures.people", 2)) == f"{counted('figures.people', 2)}" == "2 people"
