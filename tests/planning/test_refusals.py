"""A step that can never be placed is told with the reason and what to change; the rest is planned."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_shops import HELPER, open_shop, planned, start, steps

CLAMPS = '[[gear]]\nid = "clamps"\ncount = 2\n'
DUST = '[rules]\ndust_settles = "45m"\n[[stations]]\nid = "sander"\ndusty = true\n'
NOISE = '[rules]\nnoise = "05:00-06:00"\n[[stations]]\nid = "saw"\nnoisy = true\n'
NEVER = HELPER.replace('wednesday = ["10:00-12:00"]', "")
COLD = '[temperature]\nday = "5C"\nnight = "2C"\n'


@pytest.mark.parametrize(
    ("shop", "step", "words"),
    [
        (CLAMPS, "bad 1h | gear = { clamps = 3 }", ["3 of `clamps`", "the shop has 2", "raise `count`"]),
        ("", "bad 5h | one_sitting = true", ["5h in one sitting", "is 4h", "`one_sitting`"]),
        ("", "bad 1h | hands = 2", ["two people", "set `hands = 1`", "[[people]]"]),
        (NEVER, "bad 1h | hands = 2", ["never in together", "`hours`"]),
        (NOISE, 'bad 1h | stations = ["saw"]', ["noisy", "`noise`"]),
        ("", 'bad 1h | only = { days = ["sunday"] }', ["`only`", "sunday"]),
        ("", "bad 1h | on = 2026-03-01T10:00:00", ["Sun 1 Mar 10:00", "is past", "move `on`"]),
        ("", "bad 1h | on = 2026-03-03T12:30:00", ["nobody can start it", "Tue 3 Mar 12:30", "move `on`"]),
        (
            "",
            "bad 1h | on = 2026-03-02T08:30:00",
            ["appointment is 8:30", "Good (desk) cannot be over by then", "move `on`"],
        ),
        (DUST, 'bad 1h | stations = ["sander"]; still_air = true', ["dusty", "still air", "`room`"]),
        ("", 'bad 1h | after = ["quoted/x"]', ["quoted/x", "a quote", '`status` to "live"']),
        (COLD, 'bad 1h | material = "yellow-pva"', ["never warm enough", "needs 10 C"]),
    ],
)
def test_every_refusal_tells_its_reason_and_what_to_change(
    tmp_path: Path, shop: str, step: str, words: list[str]
) -> None:
    jobs = {
        "desk": steps("good 1h", step, "next 1h"),
        "quoted": 'status = "quote"\n' + steps("x 1h"),
    }
    plan = planned(open_shop(tmp_path, shop=shop, **jobs))
    assert start(plan, "desk/good") == "Mon 08:00"
    reasons = {entry.address: entry.why for entry in plan.unplaced}
    assert list(reasons) == ["desk/bad", "desk/next"]
    assert [word for word in words if word.lower() not in reasons["desk/bad"].lower()] == [], reasons[
        "desk/bad"
    ]
    assert reasons["desk/next"] == "It waits for Bad (desk), which cannot be planned."
    assert (plan.jobs[0].delivery, plan.jobs[0].late_minutes, plan.finish) == (None, None, 0)


@pytest.mark.slow
def test_an_impossible_window_is_refused(tmp_path: Path) -> None:
    # Over between 22:30 and 07:00, half an hour to begin: nobody is ever there.
    job = steps('coat 30m | waits = [{ name = "tacks", takes = "14h" }]', 'next 1h | within = "30m"')
    plan = planned(open_shop(tmp_path, desk=job, chair=steps("a 1h")))
    reasons = {entry.address: entry.why for entry in plan.unplaced}
    assert "desk/next" in reasons
    assert "within 30m of Coat" in reasons["desk/next"]
    assert "widen `within`" in reasons["desk/next"]
    assert start(plan, "chair/a") == "Mon 08:00"


def test_a_long_closure_is_planned_across(tmp_path: Path) -> None:
    shop = "[[closed]]\nfrom = 2026-03-01\nto = 2028-06-30\n"
    plan = planned(open_shop(tmp_path, shop=shop, desk=steps("a 1h")))
    assert f"{plan.steps[0].start:%Y-%m-%d %H:%M}" == "2028-07-03 08:00"


def test_a_shop_that_never_opens_says_so(tmp_path: Path) -> None:
    head = 'name = "x"\ntimezone = "Europe/Berlin"\n'
    plan = planned(open_shop(tmp_path, head=head, desk=steps("a 1h")))
    assert plan.steps == ()
    assert "no maker is ever in" in plan.unplaced[0].why.lower()
