"""Records that nothing uses, and names that a listed language lacks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kitdocs.practice.draft import Draft
from kitdocs.practice.message import message
from kitdocs.practice.problems import Problem
from kitdocs.practice.rules.looking import ANY, Values, warning, written_texts

#: So many instruments that nothing uses are told one by one; more are an inventory, and one warning.
_EACH = 3


def everything_is_used(practice: Draft) -> Iterator[Problem]:
    """Instruments, cassettes, sets and pouches that nothing uses are most often a slip."""
    used = {
        "instruments": (
            {i for holder in (practice.sets, practice.pouches) for r in holder.values() for i in r.contents}
            | {i for p in practice.procedures.values() for i in p.needs},
            (("sets", ANY, "contents"), ("pouches", ANY, "contents"), ("procedures", ANY, "needs")),
        ),
        "cassettes": ({s.cassette for s in practice.sets.values()}, (("sets", ANY, "cassette"),)),
        "sets": ({p.set for p in practice.procedures.values()}, (("procedures", ANY, "set"),)),
        "pouches": (
            {id_ for p in practice.procedures.values() for id_ in p.add_ons}
            | {id_ for c in practice.chairs.values() for id_ in c.drawer},
            (("procedures", ANY, "add_ons"), ("chairs", ANY, "drawer")),
        ),
    }
    for stem, (named, read) in used.items():
        if all(practice.is_whole(*path) for path in read):
            own = [id_ for id_ in getattr(practice, stem) if not practice.places.key(stem, id_).file.startswith("../")]
            yield from _unused(practice, stem, [id_ for id_ in own if id_ not in named])


def _unused(practice: Draft, stem: str, ids: Sequence[str]) -> Iterator[Problem]:
    """A warning for each; one for all, where it is an inventory of which most is in no set. Accepted ones stay."""
    accepted = {entry.at for entry in practice.settings.accepted if entry.warning == "unused"}
    open_ = [id_ for id_ in ids if f"{stem}.{id_}" not in accepted]
    together = open_ if stem == "instruments" and len(open_) > _EACH else []
    if together:
        said = message("problems.unused.many", n=len(together), ids=", ".join(together))
        remedy = message("problems.unused.many-remedy")
        at = practice.places.key(stem, together[0])
        yield Problem(rule="unused", severity="warning", place=at, path=stem, message=said, remedy=remedy)
    for id_ in ids:
        if id_ not in together:
            said = message(f"problems.unused.{stem}")
            yield warning(practice, "problems.unused", (stem, id_), at_key=True, message=said)


def names_are_in_every_language(practice: Draft) -> Iterator[Problem]:
    """A name that is written per language has every language that practice.yaml lists."""
    languages = practice.settings.languages
    if not (languages and practice.is_whole("practice", "languages")):
        return
    for path, text in written_texts(practice):
        if lacking := [language for language in languages if text.lacks(language)]:
            listed = ", ".join(languages)
            said = message("problems.missing-language.text", lacking=_quoted(lacking), languages=listed)
            there = [language for language in languages if language not in lacking] or [text.by_language[0][0]]
            remedy = message("problems.missing-language.write", first=there[0], lacking=lacking[0])
            yield warning(practice, "problems.missing-language", path, message=said, remedy=remedy)


def pages_are_in_listed_languages(practice: Draft) -> Iterator[Problem]:
    """A page in a language that is not listed is never shown; a page lacks no listed language."""
    listed = practice.settings.languages
    if not (listed and practice.is_whole("practice", "languages")):
        return
    for page in practice.pages:
        for language in page.text:
            if language and language not in listed:
                path = ("pages", f"{page.id}.{language}")
                values: Values = {"language": language, "languages": ", ".join(listed)}
                yield warning(practice, "problems.page-language", path, **values)
        lacking = [language for language in listed if language not in page.text]
        if "" not in page.text and lacking:
            said = message("problems.missing-language.page", page=page.id, lacking=_quoted(lacking))
            remedy = message("problems.missing-language.page-remedy", file=f"pages/{page.id}.{lacking[0]}.md")
            path = ("pages", f"{page.id}.{next(iter(page.text))}")
            yield warning(practice, "problems.missing-language", path, message=said, remedy=remedy)


def _quoted(languages: list[str]) -> str:
    return ", ".join(map(repr, languages))
