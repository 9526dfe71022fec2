"""Signs of punctuation in the words files: each language's own, in every sentence that is not a command or an address.

German quotes „so“ (DIN 5008); French sets signs of two parts apart with a no-break space and quotes « so » (the usage
of the Imprimerie nationale, from memory); a number and its unit are never parted.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from kitdocs.practice.sentences import english_of, shipped_sentences, wanted
from kitdocs.shipped import shipped_languages

#: What is written for a machine: commands and fields in quotes of code, addresses, times.
_FOR_MACHINES = re.compile(r"`[^`]*`|https?://\S+|\{[^}]*\}|\d+:\d+|<[^>]*>")
#: What is written into a file: a field with its colon, a value in quotes. English says it alike.
_FIELD_OR_VALUE = re.compile(r"\b[\w-]+: ?|\"[^\"]*\"")

#: By language, what no sentence has, with the reason.
FORBIDDEN = {
    "de": {
        r"\w'\w|\"": "an apostrophe or quote of a typewriter",
        r"[«»]": "quotes of another language",
        r"(?<=[\dx]) (?=[%°])": "a number parted from its unit",
        r"\bz\. B\.|\bd\. h\.": "an abbreviation that may be parted",
        r"(?<=\w) [:;!?](?: |$)": "a space before a sign",
    },
    "fr": {
        r"\w'\w|\"": "an apostrophe or quote of a typewriter",
        r"[“”„]": "quotes of another language",
        r"(?<=[^\s\u00a0])[:;!?»](?=\s|$)|(?<= )[:;!?»%](?=\s|$|[.,)])": "no no-break space before a sign",
        r"«(?!\u00a0)": "no no-break space behind a quote",
    },
}


def sentences(language: str) -> Iterator[tuple[str, str]]:
    for key, sentence in shipped_sentences(language).items():
        plain, english = (_FOR_MACHINES.sub("x", each) for each in (sentence, english_of(language, key)))
        written = set(_FIELD_OR_VALUE.findall(english))
        yield key, _FIELD_OR_VALUE.sub(lambda found: "x" if found[0] in written else found[0], plain)  # noqa: B023


@pytest.mark.parametrize("language", sorted(FORBIDDEN.keys() & set(shipped_languages())))
def test_each_language_has_its_own_signs(language: str) -> None:
    found = [
        (key, why, sentence)
        for key, sentence in sentences(language)
        for pattern, why in FORBIDDEN[language].items()
        if re.search(pattern, sentence)
    ]
    assert found == []


@pytest.mark.parametrize("language", shipped_languages())
def test_quotes_open_and_close(language: str) -> None:
    signs = {"de": "„“", "fr": "«»", "es": "«»"}.get(language, "“”")
    unpaired = [key for key, sentence in sentences(language) if sentence.count(signs[0]) != sentence.count(signs[1])]
    assert unpaired == []


@pytest.mark.parametrize("language", shipped_languages())
def test_a_language_has_every_sentence_that_it_needs_and_no_other(language: str) -> None:
    assert set(shipped_sentences(language)) >= set(wanted(language))


def test_a_slip_would_be_seen() -> None:
    french = FORBIDDEN["fr"]
    slips = ["Qui : toi", "Qui: toi", "« non »", "l'autre", "5 % de", "«\u00a0si\u00a0» “non”"]
    assert [any(re.search(pattern, slip) for pattern in french) for slip in slips] == [True] * len(slips)
    assert not any(re.search(pattern, "Qui\u00a0: l’autre, 5\u00a0% de «\u00a0si\u00a0»\u00a0!") for pattern in french)
