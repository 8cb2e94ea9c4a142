"""The one way to say a sum of money: "1,240.00 EUR"."""

from __future__ import annotations


def money_text(amount: float, currency: str = "") -> str:
    """To the hundredth, with the shop's own word for its currency after it."""
    return f"{amount:,.2f} {currency}".rstrip()
