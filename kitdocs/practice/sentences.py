"""The sentences that kitdocs itself says: which there are, in which forms a language counts, and how it is written.

They stand in ``site_templates/words/<language>/*.yaml``; English names them all. Plural forms and the direction of
writing are those of Unicode CLDR, as babel carries them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

import yaml
from babel import Locale, UnknownLocaleError, localedata

from kitdocs.practice.scripts import EXTRA, SCRIPTS, script_code
from kitdocs.practice.values import LANGUAGE_PATTERN
from kitdocs.shipped import shipped_folder, shipped_languages

#: The names that CLDR has for plural forms, in its order.
FORMS = ("zero", "one", "two", "few", "many", "other")

#: Handbooks count pouches, cards and days: what a language says of more than these, it may leave out.
MOST_COUNTED = 1000


def is_language(code: str) -> bool:
    """Whether this is the code of a language, and CLDR knows how it counts."""
    if not re.fullmatch(LANGUAGE_PATTERN, code):  # FR and fr.yaml mean French to babel
        return False
    try:
        Locale.parse(code)
    except (UnknownLocaleError, ValueError):
        return False
    return True


def plural_form(language: str, n: float) -> str:
    """The form that a counted noun takes beside `n`: ``one``, ``few``, ``other``."""
    return str(_locale(language).plural_form(n))


@cache
def _locale(language: str) -> Locale:
    return Locale.parse(language)


@cache
def plural_forms(language: str) -> Mapping[str, tuple[int, ...]]:
    """The forms that the language needs, each with the first numbers that take it."""
    found: dict[str, list[int]] = {}
    for n in (*range(1, MOST_COUNTED + 1), 0):
        found.setdefault(plural_form(language, n), []).append(n)
    return MappingProxyType({form: tuple(found[form][:4]) for form in FORMS if form in found})


#: These languages write a noun with a capital letter wherever it stands.
_NOUNS_BEGIN_LARGE = frozenset({"de", "lb"})
#: French parts these signs from the word before them.
_SET_APART = {"fr": ";:!?"}


def within_sentence(name: str, language: str) -> str:
    """Return a name as it stands within a sentence; an abbreviation stays as it is."""
    if language in _NOUNS_BEGIN_LARGE or name[:2].isupper():
        return name
    return name[:1].lower() + name[1:]


def sign_between(sign: str, language: str) -> str:
    """Return a sign between two parts of a line, as the language sets it: ``; ``, with a space before in French."""
    return f"\u00a0{sign}" if sign[:1] in _SET_APART.get(language, ()) and sign else sign


def in_latin_letters(language: str) -> bool:
    """Whether the language is mostly written in Latin letters, by the likely subtags of CLDR."""
    return script_code(language) == "Latn"


def also_in_latin_letters(language: str) -> bool:
    """Whether the language is written in Latin letters too, as Serbian is, by the locales of CLDR."""
    return in_latin_letters(language) or localedata.exists(f"{language}_Latn")


def letters_missing(language: str) -> str:
    """Why what is written in the language's usual letters cannot be printed here; empty where it can be."""
    script = next((script for script in SCRIPTS if script.code == script_code(language)), None)
    if in_latin_letters(language) or (script and script.folder):
        return ""
    if script:
        return f"no typeface for {script.name} letters is installed here (pip install '{EXTRA}')"
    return f"kitdocs has no typeface for the letters of '{language}'"


def right_to_left(language: str) -> bool:
    """Whether the language is written from right to left."""
    return bool(_locale(language).character_order == "right-to-left")


#: The safe loader, in C where the wheel has it.
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@cache
def shipped_sentences(language: str) -> Mapping[str, str]:
    """The sentences of a built-in language by key: ``card.hangs`` is `hangs` in card.yaml."""
    sentences: dict[str, str] = {}
    for path in sorted((_words_folder() / language).glob("*.yaml")):
        sentences.update(_of_file(language, path.stem))
    return MappingProxyType(sentences)


def shipped_sentence(language: str, key: str) -> str:
    """The sentence of a built-in language under a key. Only the file that has it is read."""
    return _of_file(language, key.partition(".")[0])[key]


@cache
def _of_file(language: str, stem: str) -> Mapping[str, str]:
    return MappingProxyType(dict(_flat(f"{stem}.", _loaded(_words_folder() / language / f"{stem}.yaml"))))


@cache
def error_sentences() -> Mapping[str, str]:
    """What is said, in English only, of mistakes in a folder: the `message` and `remedy` of each by its name."""
    return MappingProxyType(dict(_flat("", _loaded(_words_folder() / "errors.yaml"))))


def _words_folder() -> Path:
    return shipped_folder("site_templates") / "words"


def _loaded(path: Path) -> Any:
    return yaml.load(path.read_text("utf-8"), Loader=_LOADER)


def counted(key: str) -> str:
    """What is counted by the sentence of that key, without the form: ``card.days`` of ``card.days.one``; else empty."""
    stem, _, form = key.rpartition(".")
    return stem if form in FORMS and {f"{stem}.one", f"{stem}.other"} <= shipped_sentences("en").keys() else ""


@cache
def wanted(language: str) -> Mapping[str, str]:
    """Every key that a language must have, with the English sentence; counted things in the forms of the language."""
    return MappingProxyType(dict(_wanted(language)))


def _wanted(language: str) -> Iterator[tuple[str, str]]:
    english = shipped_sentences("en")
    for key, sentence in english.items():
        stem = counted(key)
        if not stem:
            yield key, sentence
        elif key == f"{stem}.one":
            for form in plural_forms(language):
                yield f"{stem}.{form}", english[f"{stem}.one" if form == "one" else f"{stem}.other"]


def allowed(language: str, key: str) -> bool:
    """Whether the language may have a sentence of that key: it is wanted, or a form for very large numbers."""
    if is_own_synonym(key):
        return True
    stem, _, form = key.rpartition(".")
    rare = (*_locale(language).plural_form.tags, "other")
    return key in wanted(language) or (form in rare and any(f"{stem}.{other}" in wanted(language) for other in FORMS))


def is_own_synonym(key: str) -> bool:
    """Whether the key names a group of synonyms that a practice adds: ``synonyms.splint``."""
    stem, _, name = key.partition(".")
    return stem == "synonyms" and bool(re.fullmatch(r"[\w-]+", name)) and key not in shipped_sentences("en")


def english_of(language: str, key: str) -> str:
    """The English sentence that the one of `key` says; none for what only a practice says."""
    if is_own_synonym(key):
        return ""
    stem, _, _ = key.rpartition(".")
    return wanted(language).get(key) or shipped_sentences("en")[f"{stem}.other"]


def known_languages(own: Mapping[str, object]) -> tuple[str, ...]:
    """The languages that a handbook can speak: the built-in ones and those of the practice's own files."""
    return tuple(sorted({*shipped_languages(), *own}))


def _flat(prefix: str, tree: Mapping[str, object]) -> list[tuple[str, str]]:
    found: list[tuple[str, str]] = []
    for key, value in tree.items():
        found += _flat(f"{prefix}{key}.", value) if isinstance(value, Mapping) else [(f"{prefix}{key}", str(value))]
    return found
