"""Count in pieces of what is to be bought, where the practice does not say what everything costs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from types import MappingProxyType
from typing import TypeVar

from kitdocs.practice.model import Cassette, Instrument, Practice

_Bought = TypeVar("_Bought", Instrument, Cassette)


def counted_in_pieces(practice: Practice) -> Practice:
    """Return the practice with each instrument and cassette counting as one, so that a total is a number of pieces."""
    return replace(practice, instruments=_ones(practice.instruments), cassettes=_ones(practice.cassettes))


def _ones(records: Mapping[str, _Bought]) -> Mapping[str, _Bought]:
    return MappingProxyType({id_: record.model_copy(update={"price": Decimal(1)}) for id_, record in records.items()})
