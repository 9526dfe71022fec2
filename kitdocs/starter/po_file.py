"""PO files, as translators' programs read and write them, to and from the sentences of a words file.

GNU gettext manual, "The Format of PO Files", read and written by babel: `msgctxt` is the key of the sentence, `msgid`
its English, `msgstr` its translation. Each plural form is a message of its own, so that no rule of plurals is lost.
"""

from __future__ import annotations

import io
from collections.abc import Mapping
from datetime import datetime, timezone
from pathlib import Path

from babel import Locale
from babel.messages.catalog import Catalog
from babel.messages.pofile import PoFileError, read_po, write_po

from kitdocs.practice.problems import KitdocsError
from kitdocs.practice.sentences import allowed, english_of, wanted
from kitdocs.version import __version__

#: The same sentences give the same bytes, on every day.
_WHEN = datetime(2000, 1, 1, tzinfo=timezone.utc)


def po_bytes(language: str, there: Mapping[str, str]) -> bytes:
    """Return the PO file of a language, with `there`, what is translated already, by key."""
    name = Locale.parse(language).english_name
    catalog = Catalog(
        locale=language,
        header_comment=f"# Sentences of kitdocs in {name}. An empty msgstr is said in English.",
        project="kitdocs",
        version=__version__,
        language_team=str(name),
        creation_date=_WHEN,
        revision_date=_WHEN,
        fuzzy=False,
    )
    catalog.msgid_bugs_address = catalog.last_translator = ""  # the constructor takes an empty one for none
    for key in dict.fromkeys((*wanted(language), *there)):
        catalog.add(english_of(language, key), there.get(key, ""), context=key)
    written = io.BytesIO()
    write_po(written, catalog, width=0)
    return written.getvalue()


def translated_in(path: Path, language: str) -> Mapping[str, str]:
    """Return what a PO file translates, by key, without what is marked as uncertain (fuzzy).

    Raises `KitdocsError` when it cannot be read, or holds a sentence that is not of kitdocs.
    """
    try:
        with path.open("rb") as file:
            catalog = read_po(file, locale=language, abort_invalid=True)
    except OSError as error:
        raise KitdocsError(f"{path} cannot be read: {error.strerror or error}") from error
    except (PoFileError, ValueError) as error:
        raise KitdocsError(f"{path} is no PO file: {error}") from error
    found = {str(m.context or ""): str(m.string) for m in catalog if m.id and m.string and not m.fuzzy}
    strange = next((key for key in found if not allowed(language, key)), None)
    if strange is not None:
        raise KitdocsError(f"{path} holds a sentence that kitdocs does not say (msgctxt '{strange}')")
    return found
