"""Statements of own pages and replaced rules that cannot stand beside the cards, where that can be known.

A page is read sentence by sentence; a question is read together with its answer. A few statements are known that cannot
stand beside the cards: an order that can hurt somebody, and a number on the other side of a limit. What is said in
other words, over two sentences, in a picture, or in a language that is not listed here is not recognised, and a
sentence that holds a *not* or *never* is taken to agree. So a page without a warning is not thereby right.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from kitdocs.practice.draft import Draft
from kitdocs.practice.locations import Path, SourceLocation
from kitdocs.practice.problems import Problem, problem_at, written
from kitdocs.practice.sentences import shipped_sentences


def _always(practice: Draft, said: re.Match[str]) -> bool:
    return True


def _keeps_by_event(practice: Draft, said: re.Match[str]) -> bool:
    """Packs carry no date in this practice."""
    return bool(practice.settings.read.get("expiration", "event") == "event")


def _below(limit: int) -> Callable[[Draft, re.Match[str]], bool]:
    return lambda practice, said: int(said["n"]) < limit


_DAYS = {"d": 1, "w": 7, "s": 7, "m": 30}
_WORDS = {"other": 2, "two": 2, "three": 3, "four": 4, "dos": 2, "tres": 3, "cuatro": 4}


def _rarer_than_weekly(practice: Draft, said: re.Match[str]) -> bool:
    """*Monthly* has no number; *every two weeks* has one."""
    number, unit = said["n"], said["unit"]
    if unit is None:
        return True
    return _DAYS[unit[0].lower()] * int(_WORDS.get(number.lower(), number)) > 7


@dataclass(frozen=True, slots=True)
class _Claim:
    """Words that together say something else than the rule does, unless the sentence holds one of `unless`.

    `wrong` is given the match of the last ones.
    """

    rule: str
    words: tuple[str, ...]
    unless: str = ""
    wrong: Callable[[Draft, re.Match[str]], bool] = _always

    def made_in(self, sentence: str, practice: Draft) -> bool:
        """Whether the sentence says so."""
        last: re.Match[str] | None = None
        for words in self.words:
            last = re.search(words, sentence, re.IGNORECASE)
            if last is None:
                return False
        excused = self.unless and re.search(self.unless, sentence, re.IGNORECASE)
        return last is not None and not excused and self.wrong(practice, last)


def _english() -> tuple[_Claim, ...]:
    denied = r"\b(?:never|not|no|nobody|nothing|cannot|without|instead of)\b|n[’']t\b"
    pack, fell = r"\b(?:pack|pouch|cassette)(?:s|es)?\b", r"\b(?:dropped|fell|falls?|fallen)\b"
    used = (
        r"\b(?:use (?:it|them) (?:anyway|all the same|first)|(?:may|can) (?:still )?be used"
        r"|(?:is|are) still (?:good|fine)|back (?:on|in|into|onto) (?:the|its) (?:shelf|drawer)"
        r"|put (?:it|them) back|dry (?:it|them) (?:off|with|on))\b"
    )
    bad = (
        r"\b(?:an open|opened|torn|wet|damp|punctured) (?:or \w+ )?(?:pack|pouch|cassette)"
        r"|\b(?:pack|pouch|cassette) (?:that )?(?:is|was|got|came out) (?:open|torn|wet|damp|punctured)\b"
    )
    rarely = (
        r"\b(?:every (?P<n>\d+|other|two|three|four) (?P<unit>days?|weeks?|months?)"
        r"|monthly|once a month|every month|fortnightly|quarterly)\b"
    )
    keeps = (
        r"\b(?:packs keep|keeps|(?:is|are|stays?) (?:good|sterile)|expires?|shelf life)\b"
        r".*\b\d+ (?:days|weeks|months)\b"
    )
    minutes = r"\b(?P<n>\d+) ?min"
    return (
        _Claim("no-recap", (r"\bneedles?\b", r"\brecap(?:s|ped)?\b"), rf"{denied}|one[- ]hand|scoop|device"),
        _Claim("dropped-local", (pack, fell, used), rf"{denied}|\blead\b"),
        _Claim("fallen", (fell, r"\b(?:rinse|wipe|disinfect)\b.*\b(?:use|reuse|go on)\b"), denied),
        _Claim("reject", (bad, used), denied),
        _Claim(
            "internal-stop",
            (r"\bindicator\b", r"\b(?:not change|not changed|unchanged|missing)\b", used),
            r"\bnever\b|\bnobody\b|\bdo not\b",
        ),
        _Claim("drawer-never", (r"\b(?:drawer|shelf)\b", r"\bwith (?:the |your )?(?:used|dirty) gloves\b"), denied),
        _Claim("hurt-wash", (r"\b(?:wound|stick|puncture|cut|finger|skin)\b", r"\b(?:squeeze|bleach)\b"), denied),
        _Claim("spore-weekly", (r"\bspore\b", rarely), wrong=_rarer_than_weekly),
        _Claim("keeps-event", (rf"{pack}|\bsets?\b", keeps), denied, _keeps_by_event),
        _Claim("flush-lines", (r"\b(?:flush|air and water)\b", r"\b(?P<n>\d+) ?(?:seconds|s)\b"), wrong=_below(20)),
        _Claim(
            "spill-eye",
            (r"\beyes?\b|\beyewash\b", r"\b(?:rins|flush)", minutes),
            r"\b(?:week|month|dai|test|run)",
            _below(15),
        ),
        _Claim("burn-cool", (r"\b(?:a|the|your) burn\b|\bburned\b", r"\b(?:water|cool)\b", minutes), "", _below(20)),
    )


def _spanish() -> tuple[_Claim, ...]:
    denied = r"\b(?:nunca|jamás|no|ni|nadie|nada|sin)\b"
    pack, fell = r"\b(?:paquete|bolsa|casete)s?\b", r"\b(?:cay[óo]|caíd[oa]s?|cae)\b"
    used = (
        r"\b(?:[úu]s(?:e|ar)l[oa]s? (?:igual|de todos modos|primero)|(?:se )?pueden? (?:usar(?:se)?|utilizar(?:se)?)"
        r"|siguen? (?:bueno|estéril)\w*|regrésel[oa] al (?:estante|cajón)|séquel[oa]s? con)\b"
    )
    bad = r"\b(?:paquete|bolsa|casete)s? (?:que está )?(?:abiert|rot|mojad|húmed|perforad)[oa]s?\b"
    rarely = (
        r"\b(?:cada (?P<n>\d+|dos|tres|cuatro) (?P<unit>días?|semanas?|meses)"
        r"|mensual(?:mente)?|cada mes|una vez al mes|quincenal(?:mente)?)\b"
    )
    keeps = r"\b(?:duran?|vencen?|caducan?|siguen? estéril\w*)\b.*\b\d+ (?:días|semanas|meses)\b"
    minutes = r"\b(?P<n>\d+) ?min"
    gloves = r"\bcon (?:los )?guantes (?:usados|sucios)\b"
    return (
        _Claim(
            "no-recap",
            (r"\bagujas?\b", r"\b(?:re(?:encapuch|encapsul|tap)|tapar?\b)"),
            rf"{denied}|una mano|dispositivo",
        ),
        _Claim("dropped-local", (pack, fell, used), rf"{denied}|\bresponsable\b"),
        _Claim("fallen", (fell, r"\b(?:enju[áa]g|l[íi]mpi|desinf[ée]ct)\w+.*\b(?:[úu]s[ea]\w*|siga)\b"), denied),
        _Claim("reject", (bad, used), denied),
        _Claim(
            "internal-stop",
            (r"\bindicador\b", r"\b(?:no cambió|sin cambio|falta)\b", used),
            r"\bnunca\b|\bnadie\b|\bno (?:lo|la|se) usa?e?\b",
        ),
        _Claim("drawer-never", (r"\b(?:cajón|estante)\b", gloves), denied),
        _Claim("hurt-wash", (r"\b(?:herida|pinchazo|corte|dedo|piel)\b", r"\b(?:exprim[aie]\w*|cloro)\b"), denied),
        _Claim("spore-weekly", (r"\besporas\b", rarely), wrong=_rarer_than_weekly),
        _Claim("keeps-event", (rf"{pack}|\bjuegos?\b", keeps), denied, _keeps_by_event),
        _Claim("flush-lines", (r"\baire y agua\b", r"\b(?P<n>\d+) ?(?:segundos|s)\b"), wrong=_below(20)),
        _Claim(
            "spill-eye",
            (r"\bojos?\b|\blavaojos\b", r"\benju[áa]g", minutes),
            r"\b(?:seman|mens|diari|prueb)",
            _below(15),
        ),
        _Claim("burn-cool", (r"\bquemadura\b", r"\bagua\b", minutes), "", _below(20)),
    )


#: By language: what cannot stand beside the cards.
_CLAIMS: Mapping[str, tuple[_Claim, ...]] = MappingProxyType({"en": _english(), "es": _spanish()})

#: A sentence longer than this is not looked at: time grows with its square. Ours.
_LONGEST = 400

#: Code between two fences, and within a line.
_CODE = re.compile(r"^(```|~~~).*?^\1|`[^`\n]{1,400}`", re.MULTILINE | re.DOTALL)
#: A sentence, with a question before it; no list item, row or paragraph goes on in the next one.
_SENTENCE = re.compile(r"(?:[^.!?\n]|\n(?![ \t]*(?:\n|[-*+#|>]|\d+[.)]\s)))+")


def pages_and_rules_agree_with_the_cards(practice: Draft) -> Iterator[Problem]:
    """No page, and no rule in own words, says what cannot stand beside the cards."""
    for page in _pages(practice):
        own = practice.words.get(page.language, {})
        for claim, index, said in _found(practice, page.language, page.plain):
            if f"rules.{claim.rule}" not in own:
                yield _problem(page.language, claim, page.at, page.place(index), said)
    for language, sentences in practice.words.items():
        for key, text in sentences.items():
            if key.startswith("rules."):
                path: Path = ("words", language, *key.split("."))
                for claim, _, said in _found(practice, language, text):
                    yield _problem(language, claim, path, practice.places.value(*path), said)


def pages_name_chairs_that_there_are(practice: Draft) -> Iterator[Problem]:
    """A numbered chair on a page is one of the chairs, where all chairs are called by one word and a number."""
    if not practice.is_whole("chairs"):
        return
    for page in _pages(practice):
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
    for page in _pages(practice):
        for link in re.finditer(r"\]\(#(s|t|p|r|drawer)/([a-z0-9-]+)\)", page.plain):
            table = tables[link[1]]
            known = practice.ids.get((table,), frozenset())
            if link[2] not in known and practice.is_whole(table):
                place = page.place(link.start(1) - 1)
                said = f"#{link[1]}/{link[2]}"
                yield problem_at(place, page.at, "card-that-is-gone", severity="warning", said=said, table=table)


@dataclass(frozen=True, slots=True)
class _Page:
    """A page in one language: its text as it is in the file, and `plain` without code, each letter at its place."""

    at: Path
    file: str
    language: str
    text: str
    plain: str

    def place(self, index: int) -> SourceLocation:
        begin, end = self.text.rfind("\n", 0, index) + 1, self.text.find("\n", index)
        line = self.text[begin : end if end >= 0 else len(self.text)]
        number = self.text.count("\n", 0, index) + 1
        return SourceLocation(file=self.file, line=number, column=index - begin + 1, text=line)


def _pages(practice: Draft) -> Iterator[_Page]:
    """Each page in each of its languages; one that names none is in the practice's first."""
    first = (practice.settings.languages or ("en",))[0]
    for page in practice.pages:
        for code, text in page.text.items():
            at: Path = ("pages", f"{page.id}.{code}" if code else page.id)
            file = practice.places.value(*at).file
            yield _Page(at=at, file=file, language=code or first, text=text, plain=_CODE.sub(_blank, text))


def _found(practice: Draft, language: str, text: str) -> Iterator[tuple[_Claim, int, str]]:
    """Each claim in a text that is wrong, where its sentence begins, and the sentence."""
    claims = _CLAIMS.get(language, ())
    for index, sentence in _sentences(text) if claims else ():
        if claim := next((claim for claim in claims if claim.made_in(sentence, practice)), None):
            yield claim, index, sentence


def _sentences(text: str) -> Iterator[tuple[int, str]]:
    """Each sentence on one line with the question before it, and where it begins; marks of emphasis left out."""
    asked: tuple[int, str] | None = None
    for part in _SENTENCE.finditer(text):
        if len(part[0]) > _LONGEST or not re.search(r"\w", part[0]):
            continue
        words = " ".join(re.sub(r"[*_`#>|\u00a0]", " ", part[0]).split()).removeprefix("- ")
        index = part.start() + len(part[0]) - len(part[0].lstrip(" \t\n-*+#>|"))
        if text[part.end() : part.end() + 1] == "?":
            asked = index, f"{words}?"
            continue
        yield (asked[0], f"{asked[1]} {words}") if asked and "\n\n" not in text[asked[0] : index] else (index, words)
        asked = None


def _blank(part: re.Match[str]) -> str:
    return re.sub(r"[^\n]", " ", part[0])


def _problem(language: str, claim: _Claim, at: Path, place: SourceLocation, said: str) -> Problem:
    card = shipped_sentences(language)[f"rules.{claim.rule}"]
    short = said if len(said) <= 80 else f"{said[:79].rstrip()}…"
    values = {"said": short, "card": card, "rule": claim.rule, "at": written(at)}
    if at[0] == "pages":
        return problem_at(place, at, "said-otherwise.page", severity="warning", **values)
    return problem_at(place, at, "said-otherwise.rule", severity="warning", **values)
