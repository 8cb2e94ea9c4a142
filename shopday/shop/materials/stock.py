"""What in the shop's stock goes off, and when."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from shopday.shop.models import Material, Stock


def goes_off(material: Material, stock: Iterable[Stock]) -> dt.date | None:
    """The last day on which any tin of the material is good; None if none is listed, or one keeps for ever."""
    days = [last_day(material, tin) for tin in stock if tin.material == material.id]
    known = [day for day in days if day is not None]
    return max(known) if known and len(known) == len(days) else None


def last_day(material: Material, tin: Stock) -> dt.date | None:
    """The last good day of a tin: the day on it or the end of its time once opened, whichever is first."""
    days = [tin.expires] if tin.expires is not None else []
    if tin.opened is not None and material.once_opened is not None:
        days.append(tin.opened + dt.timedelta(minutes=material.once_opened))
    return min(days, default=None)
