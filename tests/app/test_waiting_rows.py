"""Waiting on beside the day, where it is narrow: the time is never cut, for it is what one looks for."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from app_shop import NOW

from shopday.app.rows.waiting_rows import waiting_rows
from shopday.planning.open_shop import OpenShop
from shopday.planning.questions.waiting import waiting_items


def test_the_end_of_a_window_is_never_cut(shop: Path) -> None:
    open_shop = OpenShop(shop, NOW)
    plan = open_shop.plan(0)
    (closing,) = (wait for wait in waiting_items(open_shop, plan) if wait.closing)
    tomorrow = closing._replace(closes=NOW + dt.timedelta(hours=19, minutes=48))
    (row,) = waiting_rows([tomorrow], NOW)
    assert row.draw(46).plain.startswith("! by Thu 3 Dec 5:53 ")
