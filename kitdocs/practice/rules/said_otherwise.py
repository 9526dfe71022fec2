"""Statements of own pages and replaced rules that cannot stand beside the cards, where that can be known.

A page is read sentence by sentence; a question is read together with its answer. A few statements are known that cannot
stand beside the cards: an order that can hurt somebody, and a number on the other side of a limit. What is said in
other words, over two sentences, in a picture, or in a language that is not listed here is not recognised, and a
sentence that holds a *not* or *never* is taken to agree. So a page without a warning is not thereby right.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from kitdocs.practice.draft import Draft
from kitdocs.practice.locations import Path, SourceLocation
from kitdocs.practice.problems import Problem, problem_at, written
from kitdocs.practice.rules.claims import CLAIMS, Claim
from kitdocs.practice.rules.own_pages import pages, sentences_of
from kitdocs.practice.sentences import shipped_sentences


def pages_and_rules_agree_with_the_cards(practice: Draft) -> Iterator[Problem]:
    """No page, and no rule in own words, says what cannot stand beside the cards."""
    for page in pages(practice):
        own = practice.words.get(page.language, {})
        for claim, index, said in _found(practice, page.language, page.plain):
            if f"rules.{claim.rule}" not in own:
                yield _problem(page.language, claim, page.at, page.place(index), said)
    for language, own_words in practice.words.items():
        for key, text in own_words.items():
            if key.startswith("rules."):
                path: Path = ("words", language, *key.split("."))
                for claim, _, said in _found(practice, language, text):
                    yield _problem(language, claim, path, practice.places.value(*path), said)


def pages_name_chairs_that_there_are(practice: Draft) -> Iterator[Problem]:
    """A numbered chair on a page is one of the chairs, where all chairs are called by one word and a number."""
    if not practice.is_whole("chairs"):
        return
    for page in pages(practice):
        named = [re.fullmatch(r"(\D+) (\d+)", c.name.in_language(page.language)) for c in practice.chairs.values()]
        numbered = [match for match in named if match]
        words = {match[1].lower() for match in numbered}
        if len(words) != 1 or len(numbered) < 2:
            continue
        numbers = {int(match[2]) for match in numbered}
        for said in re.finditer(rf"\b{re.escape(*words)} (\d+)\b", page.plain, re.IGNORECASE):
            if int(said[1]) not in numbers:
                place = page.place(said.start())
                yield problem_at(place, page.at, "chair-that-is-gone", severity="warning", said=said[0])


def pages_lead_to_cards_that_there_are(practice: Draft) -> Iterator[Problem]:
    """A link to the card of a set, pouch or chair names one that there is."""
    tables = {"s": "sets", "t": "sets", "p": "pouches", "r": "chairs", "drawer": "chairs"}
    for page in pages(practice):
        for link in re.finditer(r"\]\(#(s|t|p|r|drawer)/([a-z0-9-]+)\)", page.plain):
            table = tables[link[1]]
            known = practice.ids.get((table,), frozenset())
            if link[2] not in known and practice.is_whole(table):
                place = page.place(link.start(1) - 1)
                said = f"#{link[1]}/{link[2]}"
                yield problem_at(place, page.at, "card-that-is-gone", severity="warning", said=said, table=table)


def _found(practice: Draft, language: str, text: str) -> Iterator[tuple[Claim, int, str]]:
    """Each claim in a text that is wrong, where its sentence begins, and the sentence."""
    claims = CLAIMS.get(language, ())
    for index, sentence in sentences_of(text) if claims else ():
        if claim := next((claim for claim in claims if claim.made_in(sentence, practice)), None):
            yield claim, index, sentence


def _problem(language: str, claim: Claim, at: Path, place: SourceLocation, said: str) -> Problem:
    card = shipped_sentences(language)[f"rules.{claim.rule}"]
    short = said if len(said) <= 80 else f"{said[:79].rstrip()}…"
    values = {"said": short, "card": card, "rule": claim.rule, "at": written(at)}
    if at[0] == "pages":
        return problem_at(place, at, "said-otherwise.page", severity="warning", **values)
    return problem_at(place, at, "said-otherwise.rule", severity="warning", **values)
