"""How roomy each card on full pages is set, so that no page ends with a remnant: measured once for all documents."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from typing import Any

from kitdocs.publish.print_data import PrintData, as_json
from kitdocs.publish.print_press import asked

#: What a height depends on besides the card itself. A sheet to be bound has its text as wide as one that is not.
_SHARED = ("language", "paper", "words")

#: A fit by the digest of what it was measured from. To measure takes half as long as to set the document.
_measured: dict[str, object] = {}
_KEPT = 2000


def with_fits(data: PrintData) -> PrintData:
    """The same data with ``fits.json``: for each card by id, the name of the density that suits it."""
    shared = as_json([data.said[name] for name in _SHARED])
    cards: Any = data.said["cards"]
    digests = {card["id"]: hashlib.sha256(shared + as_json(card)).hexdigest() for card in cards if not _true_size(card)}
    if len(_measured) > _KEPT:
        _measured.clear()
    new = [card for card in cards if card["id"] in digests and digests[card["id"]] not in _measured]
    if new:
        _measured.update((digests[card], fit) for card, fit in _asked_for(data, new).items())
    data.files["fits.json"] = as_json({card: _measured[digest] for card, digest in digests.items()})
    return data


def _asked_for(data: PrintData, cards: list[object]) -> Mapping[str, object]:
    only = PrintData(data.handbook)
    only.files["data.json"] = as_json({**data.said, "cards": cards})
    found: Mapping[str, object] = json.loads(asked("fits.typ", "fits", only))
    return found


def _true_size(card: Mapping[str, Any]) -> bool:
    """A template is as large as its drawing and finds its sheets itself."""
    return bool(card["form"] == "template" and any(block.get("true_size") for block in card["blocks"]))
