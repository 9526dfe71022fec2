"""Letters beyond Latin: which package brings a typeface for which script, and whether it is installed here.

Only packages are looked for, never the fonts of a machine: the same folder must give the same bytes everywhere.
"""

from __future__ import annotations

import importlib.util
import re
import unicodedata
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from babel.core import get_global

#: Brings a typeface for every script of `SCRIPTS`.
EXTRA = "kitdocs[letters]"


@dataclass(frozen=True, slots=True, kw_only=True)
class Script:
    """A script by its code in ISO 15924 and by the word that Unicode has for it in the names of its letters."""

    code: str
    name: str
    package: str
    family: str

    @property
    def folder(self) -> Path | None:
        """The folder of the typeface's files; None where the package is not installed."""
        return _folder(self.package.replace("-", "_"))


SCRIPTS = (
    Script(code="Cyrl", name="Cyrillic", package="fontpkg-noto-sans", family="Noto Sans"),
    Script(code="Grek", name="Greek", package="fontpkg-noto-sans", family="Noto Sans"),
    Script(code="Hebr", name="Hebrew", package="fontpkg-rubik", family="Rubik"),
    Script(code="Arab", name="Arabic", package="fontpkg-rubik", family="Rubik"),
)

_NAMED = re.compile(rf"\b({'|'.join(script.name.upper() for script in SCRIPTS)})\b")


@cache
def _folder(module: str) -> Path | None:
    try:
        found = importlib.util.find_spec(module)
    except ModuleNotFoundError:  # an importer may refuse it
        return None
    places = found.submodule_search_locations if found else None
    return Path(next(iter(places))) / "files" if places else None


def installed_scripts() -> tuple[Script, ...]:
    """The scripts that have a typeface here."""
    return tuple(script for script in SCRIPTS if script.folder)


def script_of_letter(letter: str) -> Script | None:
    """The script beyond Latin that a letter, digit or sign belongs to by its name in Unicode."""
    named = _NAMED.search(unicodedata.name(letter, ""))
    return next(script for script in SCRIPTS if script.name.upper() == named[1]) if named else None


def script_code(language: str) -> str:
    """The code of the script that a language is mostly written in, by the likely subtags of CLDR: ``Latn``."""
    likely = str(get_global("likely_subtags").get(language, ""))
    return next((part for part in likely.split("_") if len(part) == 4), "")
