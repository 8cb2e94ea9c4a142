"""The clock of the computer, of the shop and of the world: each change with the plan it must lead to."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from small_shops import SHOP, later, open_shop, planned, row, said, start, steps

from shopday.planning.plan import State
from shopday.planning.questions.day import day_view

GLUED = ('glue 1h | waits = [{ name = "in clamps", takes = "12h" }]', "next 1h")


def test_facts_after_a_clock_set_back_do_not_count_yet(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, now="2026-03-02T09:30", desk=steps("saw 2h"))
    shop.log("start", "desk/saw", shop.now() - dt.timedelta(minutes=30))
    back = planned(later(shop, "2026-03-02T08:30"))
    assert row(back, "desk/saw").state is State.PLANNED
    again = planned(later(shop, "2026-03-02T09:30"))
    assert row(again, "desk/saw").state is State.UNDER_WAY
    assert said(row(again, "desk/saw").end) == "Mon 11:00"  # begun at 9:00, two hours of work


def test_changing_the_time_zone_keeps_running_cures(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, now="2026-03-02T09:00", desk=steps(*GLUED))
    shop.log("finish", "desk/glue", shop.now())
    # Glue set at 9:00 in Berlin, 3:00 in New York: twelve hours on it is 15:00 there, shop hours.
    moved = open_shop(
        tmp_path, now="2026-03-02T09:00", head=SHOP.replace("Europe/Berlin", "America/New_York")
    )
    plan = planned(moved)
    assert said(row(plan, "desk/glue").complete) == "Mon 15:00"
    assert start(plan, "desk/next") == "Mon 15:00"


def test_a_clock_change_does_not_change_a_cure(tmp_path: Path) -> None:
    shop = open_shop(
        tmp_path,
        now="2026-03-28T20:00",
        shop='saturday = ["08:00-22:00"]\nsunday = ["08:00-22:00"]\n',
        desk=steps(*GLUED),
    )
    shop.log("finish", "desk/glue", shop.now())
    # Clocks go from 2:00 to 3:00 that night: twelve hours after 20:00 is 9:00.
    assert start(planned(shop), "desk/next") == "Sun 09:00"


def test_at_midnight_the_next_day_begins(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, now="2026-03-02T23:59", desk=steps("saw 2h"))
    assert day_view(shop, planned(shop)).date == dt.date(2026, 3, 2)
    after = later(shop, "2026-03-03T00:00")
    page = day_view(after, planned(after))
    assert page.date == dt.date(2026, 3, 3)
    assert next(line.kind for line in page.lines) == "work"


def test_a_weekend_of_sleep_is_not_work(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, now="2026-03-06T16:00", desk=steps("saw 2h"))
    shop.log("start", "desk/saw", shop.now())
    # An hour was done on Friday, half an hour since Monday's opening: half an hour is left.
    awake = planned(later(shop, "2026-03-09T08:30"))
    assert said(row(awake, "desk/saw").end) == "Mon 09:00"
