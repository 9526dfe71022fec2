"""Numbers, money and times as kitdocs writes them, in every language alike."""

from __future__ import annotations

from decimal import Decimal


def plain(number: float, places: int = 1) -> str:
    """Return a number without needless decimals: ``46``, ``7.3``, ``1,234``."""
    text = f"{number:,.{places}f}"
    if not text.strip("-0."):
        return "0"
    return (text.rstrip("0").rstrip(".") if "." in text else text).replace("-", "−")


def percent(share: float, places: int = 0) -> str:
    """Return a share as a percentage: ``95 %``."""
    return f"{plain(100 * share, places)} %"


def money(amount: Decimal, currency: str = "") -> str:
    """Return ``USD 1,234.50``; without the currency where the column's head names it."""
    return f"{currency} {amount:,.2f}".strip().replace("-", "−")


def hours_and_minutes(seconds: float) -> str:
    """Return a duration as people say it: ``2 h 53 min``, ``25 min``, ``1 h``."""
    hours, minutes = divmod(round(seconds / 60), 60)
    if hours and minutes:
        return f"{hours} h {minutes} min"
    return f"{hours} h" if hours else f"{minutes} min"
