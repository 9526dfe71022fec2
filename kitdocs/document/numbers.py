"""Numbers as a handbook writes them."""

from __future__ import annotations

from decimal import Decimal


def plain(number: float, places: int = 1) -> str:
    """A number without needless decimals: ``46``, ``7.3``, ``1,234``."""
    text = f"{number:,.{places}f}"
    if not text.strip("-0."):
        return "0"
    return (text.rstrip("0").rstrip(".") if "." in text else text).replace("-", "−")


def percent(share: float, places: int = 0) -> str:
    return f"{plain(100 * share, places)} %"


def money(amount: Decimal, currency: str = "") -> str:
    """``USD 1,234.50``; without the currency where the column's head names it."""
    return f"{currency} {amount:,.2f}".strip().replace("-", "−")
