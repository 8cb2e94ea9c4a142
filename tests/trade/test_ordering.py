"""What to order and send away, held to the planner itself: on the last day no promise slips, a day later one does."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from shopday.planning.lessons.job_to_recipe import actual_times, keep_recipe
from shopday.planning.open_shop import OpenShop
from shopday.planning.questions.material_needs import material_needs
from shopday.planning.questions.purchase_text import Purchase
from shopday.planning.questions.purchasing import purchases
from shopday.planning.questions.step_cautions import cautions, cure_note, day_end, too_cold
from shopday.shop.faults import ShopdayError
from shopday.shop.materials.cautions import DEFER
from shopday.shop.recipes.recipe_library import recipes

NOW = dt.datetime(2026, 12, 1, 8, 0)  # a Tuesday

SHOP = """
name = "Trial"
timezone = "America/Denver"
[hours]
monday = ["08:00-12:00", "13:00-17:00"]
tuesday = ["08:00-12:00", "13:00-17:00"]
wednesday = ["08:00-12:00", "13:00-17:00"]
thursday = ["08:00-12:00", "13:00-17:00"]
friday = ["08:00-12:00", "13:00-17:00"]
[[stations]]
id = "bench"
"""

DESK = """
title = "Desk"
promise = 2026-12-18
[[parts]]
id = "top"
  [[parts.steps]]
  id = "hinges"
  arrives = { what = "hinges", on = 2026-12-03, from = "supplier", lead = "5 workdays" }
  [[parts.steps]]
  id = "glue"
  hands_on = "2h"
  stations = ["bench"]
  material = "yellow-pva"
  amount_ml = 70
  [[parts.steps]]
  id = "fit"
  hands_on = "6h"
[[steps]]
id = "deliver"
hands_on = "2h"
"""

BASE = """
title = "Base"
promise = 2026-12-18
[[steps]]
id = "draw"
hands_on = "1h"
[[steps]]
id = "coat"
away = { who = "powder coater", takes = "5 workdays" }
[[steps]]
id = "fit"
hands_on = "3h"
"""


def open_shop(folder: Path, jobs: dict[str, str], shop: str = SHOP, now: dt.datetime = NOW) -> OpenShop:
    (folder / "jobs").mkdir(exist_ok=True)
    (folder / "shop.toml").write_text(shop, encoding="utf-8")
    for name, text in jobs.items():
        (folder / "jobs" / f"{name}.toml").write_text(text, encoding="utf-8")
    return OpenShop(folder, now)


def ordered(shop: OpenShop) -> tuple[Purchase, ...]:
    return purchases(shop, shop.plan(effort=0))


def test_the_last_day_for_a_delivery_keeps_the_promise_and_the_next_does_not(tmp_path: Path) -> None:
    """By hand: back from Fri 18 Dec 17:00, 2 h to deliver and 6 h to fit are that day; glue hardens 24 h, so
    its 2 h end on Thu 17 Dec 08:00, or rather Wed 16 Dec 17:00 from 15:00: the hinges must be here that day."""
    (order,) = ordered(open_shop(tmp_path, {"desk": DESK}))
    assert order.state == "to order"
    assert order.by == dt.date(2026, 12, 9)  # five workdays before the 16th
    for day, late in ((16, False), (17, True)):
        moved = DESK.replace("2026-12-03", f"2026-12-{day}")
        assert (open_shop(tmp_path, {"desk": moved}).plan(effort=0).late > 0) is late


def test_the_last_day_to_send_away_keeps_the_promise(tmp_path: Path) -> None:
    """By hand: 3 h to fit on Fri 18 Dec from 14:00; five workdays earlier, 14:00, is Fri 11 Dec."""
    (order,) = ordered(open_shop(tmp_path, {"base": BASE}))
    assert (order.state, order.what, order.by) == ("to send", "powder coater", dt.date(2026, 12, 11))
    for day, late in ((11, False), (14, True)):
        moved = BASE.replace("promise", f"begin = 2026-12-{day}\npromise")
        assert (open_shop(tmp_path, {"base": moved}).plan(effort=0).late > 0) is late


def test_what_the_maker_does_next_for_others_counts(tmp_path: Path) -> None:
    """The same hands fit desk and base: together they leave an earlier last day than each alone."""
    (alone,) = ordered(open_shop(tmp_path, {"desk": DESK}))
    long = BASE.replace('hands_on = "3h"', 'hands_on = "16h"')
    both = {order.state: order for order in ordered(open_shop(tmp_path, {"desk": DESK, "base": long}))}
    assert alone.by is not None
    assert (both["to order"].by or dt.date.max) <= alone.by


def test_late_orders_are_urgent_and_say_so(tmp_path: Path) -> None:
    soon = DESK.replace("2026-12-18", "2026-12-09")
    (order,) = ordered(open_shop(tmp_path, {"desk": soon}))
    assert order.late
    assert order.urgent
    assert "was the last day" in order.text


def test_without_a_promise_there_is_no_last_day(tmp_path: Path) -> None:
    (order,) = ordered(open_shop(tmp_path, {"desk": DESK.replace("promise = 2026-12-18", "")}))
    assert order.by is None
    assert "no promise" in order.text


def test_an_arrival_stays_listed_for_a_week(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, {"desk": DESK})
    shop.log("arrived", "desk/top/hinges", NOW)
    (order,) = ordered(shop)
    assert (order.state, order.urgent, order.by) == ("here", False, None)
    assert order.text == "Hinges from supplier for Top of Desk: here since Tue 1 Dec."
    assert ordered(OpenShop(tmp_path, NOW + dt.timedelta(days=8))) == ()


def at(folder: Path, day: int) -> OpenShop:
    return OpenShop(folder, NOW.replace(day=day))


def test_an_order_goes_from_to_order_by_way_of_expected_and_overdue_to_here(tmp_path: Path) -> None:
    """The hinges are needed on Wed 16 Dec and take five workdays; the days are those of the test above."""
    shop = open_shop(tmp_path, {"desk": DESK})
    shop.log("ordered", "desk/top/hinges", details={"expected": dt.date(2026, 12, 10)})
    plan = at(tmp_path, 2).plan(effort=0)
    hinges = plan.step("desk/top/hinges", 1)
    assert hinges is not None
    assert hinges.end.isoformat() == "2026-12-10T08:00:00-07:00"  # the plan goes by what was said
    (order,) = ordered(at(tmp_path, 2))
    assert (order.state, order.ordered, order.by, order.urgent) == (
        "ordered", NOW.date(), dt.date(2026, 12, 16), False,
    )  # fmt: skip
    assert order.text == (
        "Hinges from supplier for Top of Desk: ordered Tue 1 Dec, expected Thu 10 Dec, call by Wed 9 Dec, "
        "needed by Wed 16 Dec."
    )
    at(tmp_path, 9).log(
        "asked", "desk/top/hinges", details={"expected": dt.date(2026, 12, 11), "call": dt.date(2026, 12, 10)}
    )
    (order,) = ordered(at(tmp_path, 9))
    assert (order.asked, order.call_by, order.planned, order.urgent) == (
        dt.date(2026, 12, 9), dt.date(2026, 12, 10), dt.date(2026, 12, 11), False,
    )  # fmt: skip
    (order,) = ordered(at(tmp_path, 10))
    assert order.urgent  # to be called today
    at(tmp_path, 10).log("asked", "desk/top/hinges")
    (order,) = ordered(at(tmp_path, 14))
    assert (order.state, order.urgent, order.call_by) == ("overdue", True, dt.date(2026, 12, 14))
    at(tmp_path, 14).log("arrived", "desk/top/hinges")
    (order,) = ordered(at(tmp_path, 15))
    assert order.state == "here"


def test_work_outside_is_expected_back_on_the_promised_day(tmp_path: Path) -> None:
    """It left on Wed 2 Dec at 8:00 for five workdays: back Wed 9 Dec, until they say Mon 14."""
    shop = open_shop(tmp_path, {"base": BASE})
    shop.log("skip", "base/draw")
    at(tmp_path, 2).log("start", "base/coat")
    (order,) = ordered(at(tmp_path, 3))
    assert (order.state, order.ordered, order.planned, order.call_by) == (
        "away", dt.date(2026, 12, 2), dt.date(2026, 12, 9), dt.date(2026, 12, 8),
    )  # fmt: skip
    at(tmp_path, 3).log("asked", "base/coat", details={"expected": dt.date(2026, 12, 14)})
    coat = at(tmp_path, 3).plan(effort=0).step("base/coat", 1)
    assert coat is not None
    assert coat.end.isoformat() == "2026-12-14T08:00:00-07:00"
    (order,) = ordered(at(tmp_path, 15))
    assert order.state == "overdue"


@pytest.mark.parametrize(
    ("kind", "address", "days", "refused"),
    [
        ("ordered", "base/coat", {}, "nothing that arrives"),
        ("asked", "base/draw", {}, "nobody outside is asked"),
        ("ordered", "desk/top/hinges", {"expected": dt.date(2026, 11, 30)}, "Mon 30 Nov is past; name a day from Tue 1 Dec on"),
    ],
)  # fmt: skip
def test_orders_and_questions_that_make_no_sense_are_refused(
    tmp_path: Path, kind: str, address: str, days: dict[str, dt.date], refused: str
) -> None:
    shop = open_shop(tmp_path, {"base": BASE, "desk": DESK})
    with pytest.raises(ShopdayError, match=refused):
        shop.log(kind, address, details=days)


def test_mixes_and_consumables_of_the_coming_days_are_listed(tmp_path: Path) -> None:
    """Common practice: oil 3:1."""
    oiled = DESK.replace(
        'hands_on = "6h"', 'hands_on = "6h"\nmaterial = "hardwax-oil"\namount_ml = 120\npasses = 2'
    )
    shop = open_shop(tmp_path, {"desk": oiled})
    plan = shop.plan(effort=0)
    glue, oil = material_needs(shop, plan, days=14)
    assert (glue.material, oil.material) == ("yellow-pva", "hardwax-oil")
    assert oil.mix is not None
    assert oil.mix.millilitres == 240
    assert sum(sum(parts) * count for parts, count in oil.mix.portions) == 240
    assert all(parts[0] == 3 * parts[1] for parts, _ in oil.mix.portions)
    assert "gloves" in oil.consumables
    assert [need.material for need in material_needs(shop, plan, days=3)] == ["yellow-pva"]


# ---------------------------------------------------------------- minding


def test_too_cold_to_glue_tells_when_it_will_be_warm_enough(tmp_path: Path) -> None:
    """White glue chalks below 13 C (published): the shop at 12 C by night and 18 C by day."""
    cold = SHOP + '[temperature]\nday = "18C"\nnight = "12C"\n'
    glue = DESK.replace("yellow-pva", "white-pva").replace("2026-12-03", "2026-12-01")
    shop = open_shop(tmp_path, {"desk": glue}, cold, now=dt.datetime(2026, 12, 1, 7, 0))
    plan = shop.plan(effort=0)
    step = plan.step("desk/top/glue", 1)
    assert step is not None
    assert (
        too_cold(shop, plan, step)
        == "Too cold for White PVA glue: 12 C, it needs 13 C; warm enough from 8:00."
    )
    assert too_cold(shop, plan, step, step.start) == ""
    note = cure_note(shop, plan, step, step.waits[-1])
    assert "slower" in note


def test_oily_rags_are_named_at_the_end_of_their_day(tmp_path: Path) -> None:
    """OSHA 29 CFR 1910.106 and 1910.125: emptied every day."""
    oiled = BASE.replace('hands_on = "1h"', 'hands_on = "1h"\nmaterial = "drying-oil"')
    shop = open_shop(tmp_path, {"base": oiled})
    plan = shop.plan(effort=0)
    step = plan.step("base/draw", 1)
    assert step is not None
    assert cautions(shop, step)[-1] == DEFER
    assert "metal can" in day_end(shop, plan)[0]
    assert day_end(shop, plan, NOW.date() + dt.timedelta(days=1)) == ()


# ---------------------------------------------------------------- keeping


def test_a_finished_job_is_kept_with_the_times_it_took(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, {"base": BASE}, now=dt.datetime(2026, 12, 2, 8, 0))
    zone = shop.now().tzinfo
    shop.log("start", "base/draw", dt.datetime(2026, 12, 1, 11, 0, tzinfo=zone))
    shop.log("finish", "base/draw", dt.datetime(2026, 12, 1, 13, 30, tzinfo=zone))
    assert actual_times(shop, "base") == {"base/draw": 90}  # an hour's break lies between
    path = keep_recipe(shop, "base", "our-base")
    assert recipes(tmp_path)["our-base"].own
    assert "90m * size" in path.read_text(encoding="utf-8")
    with pytest.raises(ShopdayError, match="already"):
        keep_recipe(shop, "base", "our-base")
    with pytest.raises(ShopdayError, match="did you mean `base`"):
        keep_recipe(shop, "bse", "other")
    with pytest.raises(ShopdayError, match="cannot name"):
        keep_recipe(shop, "base", "../other")
