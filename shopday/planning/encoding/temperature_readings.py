"""How long a reading of the temperature holds."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from shopday.planning.encoding.open_hours import OpenHours
from shopday.planning.encoding.shop_temperature import holds_until
from shopday.planning.plan import Moment

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop

LONGEST = dt.timedelta(days=400)
"""The farthest ahead to look for a change; a shop closed for longer keeps its last reading."""


def reading_holds(open_shop: OpenShop, minute: int) -> Moment | None:
    """The moment until which a reading made at a minute holds; None if the shop neither opens nor closes again."""
    state, date = open_shop.state(), open_shop.zone.date(minute)
    hours = OpenHours(open_shop.folder.shop, open_shop.zone, date, date + LONGEST, state.closed)
    until = holds_until(minute, hours.daytime, (at for at, _ in state.readings))
    return None if until is None else open_shop.zone.moment(until)
