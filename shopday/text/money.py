"""The one way to say a sum of money: "1,240.00 EUR"."""

from __future__ import annotations


def money_text(amount: float, currency: str = "") -> str:
    """With two decimals, followed by the shop's word for its currency."""
    return f"{amount:,.2f} {currency}".rstrip()
