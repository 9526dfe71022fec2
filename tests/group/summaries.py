"""Summaries of practices that nobody planned, for what only reads them."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from kitdocs.group.summary import OwnedKind, Summary
from kitdocs.practice.values import Text


def summary(kinds: Iterable[OwnedKind] = (), **changes: Any) -> Summary:
    """Four chairs, 80 visits, 40 sets, 20,000 worth of pieces; closes at 17:00, all back an hour later."""
    plain: dict[str, Any] = {
        "title": Text(plain="Ours"),
        "languages": ("en",),
        "currency": "USD",
        "chairs": 4,
        "visits": 80.0,
        "sets": 40,
        "pouches": 12,
        "value": Decimal(20_000),
        "to_buy": Decimal(0),
        "without_price": 0,
        "walks": 8.0,
        "turnaround": 120.0,
        "closes": 1020.0,
        "ends": 1080.0,
        "left_over_night": 0.0,
        "kept": 0.92,
        "asked": 0.95,
        "loads": 24.0,
        "machines": 3,
    }
    return Summary(**{**plain, **changes}, kinds=tuple(kinds))


def owned(id_: str = "mirror", *, need: int, has: int, price: int | None = 10, **changes: Any) -> OwnedKind:
    """A kind of instrument of which so many are needed and owned."""
    plain: dict[str, Any] = {
        "kind": "instrument",
        "id": id_,
        "name": Text(plain=id_),
        "alike": ("mouth-mirror", "steel"),
        "need": need,
        "owned": has,
        "in_repair": 0,
        "buy": max(0, need - has),
        "surplus": max(0, has - need),
        "price": None if price is None else Decimal(price),
    }
    return OwnedKind(**{**plain, **changes})
