"""The files that a new practice folder starts from: the starter's comments and room, without its records."""

from __future__ import annotations

import re
from collections.abc import Collection
from typing import get_args

from kitdocs.practice.kinds import PartOfTheStarter
from kitdocs.starter import starter_texts

#: What stands for an example in a new folder, until the practice's own takes its place.
EXAMPLES = ("practice.yaml", "room.yaml", "cassettes.yaml")
_RECORDS = ("chairs", "instruments", "sets", "pouches", "procedures")
_RECORD = re.compile(r"^[a-z0-9][a-z0-9-]*:", re.MULTILINE)

#: Where the starter shows how its parts are named, and how many of a cassette it has.
_EXAMPLE_OF_PARTS = "#   from_starter: [room]\n"
_ON_HAND = re.compile(r"^  on_hand: .*\n", re.MULTILINE)


def base_texts(stems: Collection[str], language: str) -> dict[str, str]:
    """Return the files of a new folder before any record is put in. `stems` are the files that get records.

    Cassettes stay the starter's where none are brought, for a proposal for sets needs some; none of them is owned. What
    stays the starter's is named in `from_starter`.
    """
    texts = {name: text.decode() for name, text in starter_texts().items() if not name.startswith("pages/")}
    del texts["stock.csv"]
    for stem in (*_RECORDS, *({"cassettes"} & set(stems))):
        text = texts[f"{stem}.yaml"]
        first = _RECORD.search(text)
        texts[f"{stem}.yaml"] = text[: first.start()].rstrip("\n") + "\n" if first else text
    unstated = [part for part in get_args(PartOfTheStarter) if part not in stems]
    practice = texts["practice.yaml"].replace("languages: [en]", f"languages: [{language}]", 1)
    texts["practice.yaml"] = practice.replace(_EXAMPLE_OF_PARTS, f"from_starter: [{', '.join(unstated)}]\n", 1)
    if "cassettes" in unstated:
        texts["cassettes.yaml"] = _ON_HAND.sub("", texts["cassettes.yaml"])
    return texts
