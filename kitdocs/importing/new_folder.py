"""The files that a new practice folder starts from: the starter's comments and room, without its records."""

from __future__ import annotations

import re
from collections.abc import Collection

from kitdocs.starter import starter_texts

#: What stands for an example in a new folder, until the practice's own takes its place.
EXAMPLES = ("practice.yaml", "room.yaml", "cassettes.yaml")
_RECORDS = ("chairs", "instruments", "sets", "pouches", "procedures")
_RECORD = re.compile(r"^[a-z0-9][a-z0-9-]*:", re.MULTILINE)


def base_texts(stems: Collection[str], language: str) -> dict[str, str]:
    """Return the files of a new folder before any record is put in. `stems` are the files that get records.

    Cassettes stay the starter's where none are brought: a proposal for sets needs some.
    """
    texts = {name: text.decode() for name, text in starter_texts().items() if not name.startswith("pages/")}
    del texts["stock.csv"]
    for stem in (*_RECORDS, *({"cassettes"} & set(stems))):
        text = texts[f"{stem}.yaml"]
        first = _RECORD.search(text)
        texts[f"{stem}.yaml"] = text[: first.start()].rstrip("\n") + "\n" if first else text
    texts["practice.yaml"] = texts["practice.yaml"].replace("languages: [en]", f"languages: [{language}]", 1)
    return texts
