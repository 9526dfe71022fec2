"""Needs of a visit and pieces in a set or pouch: how often, and how many of an instrument."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, WithJsonSchema

from kitdocs.practice.quantities import share
from kitdocs.practice.spellings import SHARES
from kitdocs.practice.values import ID_PATTERN, Id, share_text

#: In `needs`: everything in the set of the procedure.
ALL_OF_THE_SET = "all of the set"
#: In place of how often something is needed: not at all, though it lies in the set of which all is needed.
NEVER = "never"
#: Of one instrument, in one visit. A larger number is most often a share without its sign.
MOST_NEEDED = 9
#: Of one instrument, in one set or pouch.
MOST_OF_ONE = 30
#: In contents, for ``mirror: 2``: the count before the id.
COUNT_FIRST = rf"([1-9]\d?)\s+(?:[x×]\s+)?({ID_PATTERN[1:-1]})"


@dataclass(frozen=True, slots=True)
class Need:
    """How often a visit needs an instrument, as a share from 0 to 1, and how many of it at once."""

    share: float
    count: int = 1
    along: str = ""
    """Another instrument of the procedure: only visits that need that one need this one. Else each goes by itself."""

    @property
    def always(self) -> bool:
        """Whether every visit needs it."""
        return self.share == 1

    def __str__(self) -> str:
        """Return the need as it is written: ``always``, ``12%``, ``2``, ``2 at 12%``, ``6% with bird-beak``."""
        often = "always" if self.share == 1 else share_text(self.share)
        often += f" with {self.along}" if self.along else ""
        if self.count == 1:
            return often
        return str(self.count) if self.share == 1 else f"{self.count} at {often}"


def need(value: Any) -> Need:
    """Return a `Need`, from a share (``always``, ``12%``), ``2`` (two of it, always) or ``2 at 12%``.

    Behind a share may stand with which other need it comes: ``6% with bird-beak``.

    Raises `ValueError` with a sentence that shows how to write it.
    """
    if isinstance(value, Need):
        return value
    if value == NEVER:
        raise ValueError("'never' is for what lies in the set, beside 'all of the set'; leave this line out")
    if isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= MOST_NEEDED:
        return Need(1.0, value)
    often, along, other = value.rpartition(" with ") if isinstance(value, str) else ("", "", "")
    if along:
        return _along(need(often), other.strip())
    several = _SEVERAL.fullmatch(value) if isinstance(value, str) else None
    try:
        return Need(share(several[2]), int(several[1])) if several else Need(share(value))
    except ValueError as error:
        forms = str(error).replace("'12%' or 'always'", "'always', '12%', '2' (two of it) or '2 at 12%'")
        raise ValueError(forms) from None


def _along(alone: Need, other: str) -> Need:
    if not _ID_ALONE.fullmatch(other):
        raise ValueError(f"'{other}' is no id of an instrument; write it as in '6% with bird-beak'")
    if alone.always:
        raise ValueError(f"every visit needs it, so it comes with everything; write '{alone}'")
    return Need(alone.share, alone.count, other)


def share_of_any(needs: Mapping[str, Need], instruments: Iterable[str]) -> float:
    """Return the share of visits that need at least one of the instruments.

    Needs that go by themselves are independent. Of those that come with the same other need, and of that one, the rarer
    come in visits that need the more frequent, too: the most frequent counts alone.
    """
    by_leader: dict[str, float] = {}
    for i in instruments:
        if i in needs:
            leader = needs[i].along or i
            by_leader[leader] = max(needs[i].share, by_leader.get(leader, 0.0))
    return any_of(by_leader.values())


def any_of(shares: Iterable[float]) -> float:
    """Return the share of visits that want at least one of what such shares of visits want, each by its own luck."""
    found = 0.0
    for one in sorted(shares, reverse=True):
        found += one * (1 - found)
    return found


_SEVERAL = re.compile(rf"\s*([1-{MOST_NEEDED}])\s+at\s+(.+)")
_ID_ALONE = re.compile(ID_PATTERN[1:-1])
_NEED = {
    "description": "A share, how many where it is more than one, or both; and with which other need it comes.",
    "examples": ["always", "12%", 2, "2 at 12%", "6% with bird-beak", NEVER],
    "anyOf": [
        *SHARES.forms,
        {"type": "string", "pattern": rf"^\s*[1-{MOST_NEEDED}]\s+at\s+{SHARES.forms[0]['pattern'][1:]}"},
        {
            "type": "string",
            "pattern": rf"^\s*(?:[1-{MOST_NEEDED}]\s+at\s+)?{SHARES.forms[0]['pattern'][1:-1]}"
            rf"\s+with\s+{ID_PATTERN[1:-1]}\s*$",
        },
        {"type": "integer", "minimum": 1, "maximum": MOST_NEEDED},
        {"const": NEVER},
    ],
}
_ID = {"type": "string", "pattern": ID_PATTERN, "maxLength": 60}
_NEEDS = {
    "type": "object",
    "properties": {ALL_OF_THE_SET: SHARES.schema},
    "propertyNames": {"anyOf": [_ID, {"const": ALL_OF_THE_SET}]},
    "additionalProperties": _NEED,
    "examples": [{ALL_OF_THE_SET: "always", "bird-beak": "12%"}],
}
_NEEDS_LIST = {"type": "array", "items": {"anyOf": [_ID, {"const": ALL_OF_THE_SET}, _NEEDS]}}
_COUNTED = {
    "type": "object",
    "minProperties": 1,
    "propertyNames": _ID,
    "additionalProperties": {"type": "integer", "minimum": 1, "maximum": MOST_OF_ONE},
    "examples": [{"mirror": 2}],
}

#: Instruments by id. The short ways of writing are spelled out before (`reading/spelled_out.py`).
Needs = Annotated[
    Mapping[Id, Annotated[Need, BeforeValidator(need), WithJsonSchema(_NEED)]],
    AfterValidator(MappingProxyType),
    WithJsonSchema({"anyOf": [_NEEDS, _NEEDS_LIST]}),
]
#: An instrument in contents. ``mirror: 2`` is spelled out before.
IdOrCount = Annotated[
    Id, WithJsonSchema({"anyOf": [_ID, _COUNTED, {"type": "string", "pattern": rf"^{COUNT_FIRST}$"}]})
]
