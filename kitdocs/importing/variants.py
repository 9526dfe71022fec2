"""Two ways of writing one type of visit: `Ret ck` and `RET CHK`, `loose bracket` and `loose brkt`.

Each word of one stands for a word of the other: it is the same, a short form of it, or it has a slip in it. Words that
mean something else are none, however near: `deband` and `rebond`, `adj 1` and `adj 2`. The limits are ours;
tests/importing/test_variants.py tries them.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import permutations

from rapidfuzz.distance import OSA

from kitdocs.importing.appointment_words import spelled_out
from kitdocs.importing.askable import Phrase
from kitdocs.importing.vocabulary import TRADE

#: Of more words, it is a sentence.
_MOST_WORDS = 5
#: Letters that a word has at least to be taken for a slip of another, and the start of one for its short form.
_FOR_A_SLIP, _FOR_A_START = 5, 3
_VOWELS = frozenset("aeiou")


def variant_of(label: Phrase, others: Iterable[Phrase]) -> Phrase | None:
    """Return the first of the others that is another way of writing this label; None where none is."""
    return next((other for other in others if other != label and _are_one(label, other)), None)


def _are_one(label: Phrase, other: Phrase) -> bool:
    ours, theirs = spelled_out(label), spelled_out(other)
    if len(ours) != len(theirs) or len(ours) > _MOST_WORDS:
        return False
    return any(all(map(_stands_for, ours, order)) for order in permutations(theirs))


def _stands_for(one: str, other: str) -> bool:
    if one == other:
        return True
    if {one, other} <= TRADE or any(not word.isalpha() for word in (one, other)):
        return False
    short, long = sorted((one, other), key=len)
    return _is_short_for(short, long) or _is_slip(short, long)


def _is_short_for(short: str, long: str) -> bool:
    """Whether a word is the start of another, or its first letter and some of its consonants."""
    if len(short) >= _FOR_A_START and long.startswith(short):
        return True
    letters = iter(long)
    in_turn = all(letter in letters for letter in short)
    return len(short) > 1 and short[0] == long[0] and in_turn and _VOWELS.isdisjoint(short[1:])


def _is_slip(one: str, other: str) -> bool:
    return min(len(one), len(other)) >= _FOR_A_SLIP and OSA.distance(one, other, score_cutoff=1) <= 1
