"""One tiny shop for each rule a plan keeps, with the best plan worked out by hand."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_shops import HELPER, open_shop, planned, row, said, start, steps

# ---------------------------------------------------------------- order


def test_a_step_waits_until_the_one_before_is_complete(tmp_path: Path) -> None:
    plan = planned(
        open_shop(tmp_path, desk=steps('a 1h | waits = [{ name = "dries", takes = "2h" }]', "b 30m"))
    )
    assert start(plan, "desk/b") == "Mon 11:00"
    assert said(plan.jobs[0].delivery) == "Mon 11:30"
    assert plan.finish == 210


@pytest.mark.parametrize(
    ("when", "expected"), [("hands-off", "Mon 09:00"), ("first", "Mon 10:00"), ("then", "Mon 13:00")]
)
def test_a_step_may_wait_for_part_of_another(tmp_path: Path, when: str, expected: str) -> None:
    job = steps(
        'a 1h | waits = [{ name = "first", takes = "1h" }, { name = "then", takes = "3h" }]',
        f'b 30m | after = [{{ step = "a", when = "{when}" }}]',
    )
    assert start(planned(open_shop(tmp_path, desk=job)), "desk/b") == expected


def test_the_first_step_of_the_job_waits_for_the_last_of_every_part(tmp_path: Path) -> None:
    job = """
[[parts]]
id = "top"
[[parts.steps]]
id = "mill"
hands_on = "1h"
[[parts]]
id = "base"
[[parts.steps]]
id = "cut"
hands_on = "1h"
[[parts.steps]]
id = "glue"
hands_on = "30m"
waits = [{ name = "in clamps", takes = "1h" }]
[[steps]]
id = "join"
hands_on = "1h"
"""
    plan = planned(open_shop(tmp_path, desk=job))
    # The base first: cut 8-9, glue 9-9:30, clamps until 10:30; the mill fits in between.
    assert [start(plan, f"desk/{a}") for a in ("base/cut", "base/glue", "top/mill", "join")] == [
        "Mon 08:00", "Mon 09:00", "Mon 09:30", "Mon 10:30",
    ]  # fmt: skip


# ---------------------------------------------------------------- hands


def test_work_stops_at_breaks_and_resumes_after_them(tmp_path: Path) -> None:
    step = row(planned(open_shop(tmp_path, desk=steps("a 9h"))), "desk/a")
    assert [(said(a), said(b)) for a, b in step.stretches] == [
        ("Mon 08:00", "Mon 12:00"), ("Mon 13:00", "Mon 17:00"), ("Tue 08:00", "Tue 09:00"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("shortest", "expected"), [("0m", "Mon 11:45"), ("15m", "Mon 11:45"), ("16m", "Mon 13:00")]
)
def test_work_is_not_begun_just_before_a_break(tmp_path: Path, shortest: str, expected: str) -> None:
    shop = f'[rules]\nshortest_stretch = "{shortest}"\n'
    assert (
        start(planned(open_shop(tmp_path, shop=shop, desk=steps("a 3h 45m", "b 2h"))), "desk/b") == expected
    )


def test_the_shortest_stretch_is_never_longer_than_the_step(tmp_path: Path) -> None:
    shop = '[rules]\nshortest_stretch = "1h"\n'
    assert (
        start(planned(open_shop(tmp_path, shop=shop, desk=steps("a 3h 45m", "b 15m"))), "desk/b")
        == "Mon 11:45"
    )


def test_one_sitting_is_not_interrupted(tmp_path: Path) -> None:
    job = steps("a 2h", "b 3h | one_sitting = true")
    assert start(planned(open_shop(tmp_path, desk=job)), "desk/b") == "Mon 13:00"


def test_work_for_two_waits_for_the_helper(tmp_path: Path) -> None:
    plan = planned(open_shop(tmp_path, shop=HELPER, desk=steps("turn 30m | hands = 2")))
    assert start(plan, "desk/turn") == "Wed 10:00"
    assert row(plan, "desk/turn").people == ("ada", "kit")


def test_a_helper_does_not_work_alone(tmp_path: Path) -> None:
    plan = planned(open_shop(tmp_path, shop=HELPER, desk=steps("a 8h"), chair=steps("a 8h")))
    assert {step.people for step in plan.steps} == {("ada",)}


def test_two_makers_work_side_by_side(tmp_path: Path) -> None:
    shop = '[[people]]\nid = "ada"\n[[people]]\nid = "ben"\n'
    plan = planned(open_shop(tmp_path, shop=shop, desk=steps("a 2h"), chair=steps("a 2h")))
    assert {start(plan, "desk/a"), start(plan, "chair/a")} == {"Mon 08:00"}
    assert {step.people for step in plan.steps} == {("ada",), ("ben",)}


def test_extra_hours_follow_their_recurrence_rule(tmp_path: Path) -> None:
    shop = """
[[people]]
id = "ada"
hours = {}
also = [{ rule = "FREQ=WEEKLY;INTERVAL=2;BYDAY=WE;UNTIL=20260401T000000Z", from = 2026-02-25, hours = ["15:00-17:00"] }]
"""
    # From Wed 25 Feb every second week: 11 and 25 March, two hours each.
    step = row(planned(open_shop(tmp_path, shop=shop, desk=steps("a 3h"))), "desk/a")
    assert [f"{a:%d %H:%M}-{b:%H:%M}" for a, b in step.stretches] == ["11 15:00-17:00", "25 15:00-16:00"]


def test_noisy_work_keeps_to_its_hours(tmp_path: Path) -> None:
    shop = '[rules]\nnoise = "09:30-11:00"\n[[stations]]\nid = "saw"\nnoisy = true\n'
    step = row(planned(open_shop(tmp_path, shop=shop, desk=steps('a 2h | stations = ["saw"]'))), "desk/a")
    assert [(said(a), said(b)) for a, b in step.stretches] == [
        ("Mon 09:30", "Mon 11:00"), ("Tue 09:30", "Tue 10:00"),
    ]  # fmt: skip


def test_only_keeps_to_its_days_and_hours(tmp_path: Path) -> None:
    job = steps('a 1h | only = { days = ["tuesday", "friday"], between = "11:30-17:00" }')
    step = row(planned(open_shop(tmp_path, desk=job)), "desk/a")
    assert [(said(a), said(b)) for a, b in step.stretches] == [
        ("Tue 11:30", "Tue 12:00"),
        ("Tue 13:00", "Tue 13:30"),
    ]


def test_closed_and_open_days_are_kept(tmp_path: Path) -> None:
    shop = """
[[closed]]
from = 2026-03-02
to = 2026-03-04
[[open]]
on = 2026-03-03
hours = ["10:00-11:00"]
"""
    step = row(planned(open_shop(tmp_path, shop=shop, desk=steps("a 2h"))), "desk/a")
    assert [(said(a), said(b)) for a, b in step.stretches] == [
        ("Tue 10:00", "Tue 11:00"),
        ("Thu 08:00", "Thu 09:00"),
    ]


# ---------------------------------------------------------------- stations, gear, waits

BENCH = '[[stations]]\nid = "bench"\n[[gear]]\nid = "clamps"\ncount = 6\n'


def test_things_that_a_wait_keeps_are_freed_when_somebody_is_in(tmp_path: Path) -> None:
    glue = 'glue 1h | stations = ["bench"]; waits = [{ name = "in clamps", takes = "8h", keeps = "all" }]'
    plan = planned(
        open_shop(
            tmp_path,
            shop=BENCH,
            a=steps(glue),
            b=steps('plane 1h | stations = ["bench"]; after = ["a/glue"]'),
        )
    )
    # Over at 17:00 sharp, when the shop closes: taken off on Tuesday morning.
    wait = row(plan, "a/glue").waits[0]
    assert (said(wait.end), said(wait.free), wait.keeps) == ("Mon 17:00", "Tue 08:00", ("bench",))
    assert start(plan, "b/plane") == "Tue 08:00"


def test_gear_is_counted(tmp_path: Path) -> None:
    glue = (
        'glue 1h | gear = { clamps = 4 }; waits = [{ name = "in clamps", takes = "3h", keeps = ["clamps"] }]'
    )
    plan = planned(open_shop(tmp_path, shop=BENCH, a=steps(glue), b=steps(glue)))
    # Four of six are in use until 12:00, when the shop is closed for lunch: free at 13:00.
    assert sorted(said(step.start) for step in plan.steps) == ["Mon 08:00", "Mon 13:00"]


def test_a_wait_that_informs_delays_nothing(tmp_path: Path) -> None:
    waits = 'waits = [{ name = "hard", takes = "9d", informs = true }, { name = "dries", takes = "1h" }]'
    plan = planned(open_shop(tmp_path, desk=steps(f"a 1h | {waits}", "b 1h")))
    assert start(plan, "desk/b") == "Mon 10:00"
    assert [(w.name, said(w.start), w.informs) for w in row(plan, "desk/a").waits] == [
        ("hard", "Mon 09:00", True), ("dries", "Mon 09:00", False),
    ]  # fmt: skip


# ---------------------------------------------------------------- temperature

COLD = '[temperature]\nday = "12C"\nnight = "12C"\n'
GLUE = """
[test-glue]
name = "Test glue"
waits = [{ name = "cures", takes = "24h", cures = true }]
rated_at = "20C"
lowest = "10C"
"""


def test_a_cure_is_slower_in_the_cold(tmp_path: Path) -> None:
    # 24 h at 20 C, rate doubling every 10 C, at 12 C: 24 x 2^0.8 = 41.79 h (worked out by hand).
    plan = planned(
        open_shop(tmp_path, shop=COLD, materials=GLUE, desk=steps('a 0m | material = "test-glue"'))
    )
    wait = row(plan, "desk/a").waits[0]
    assert (wait.end - wait.start).total_seconds() == 60 * 2508


def test_without_temperatures_cures_take_their_time(tmp_path: Path) -> None:
    plan = planned(open_shop(tmp_path, materials=GLUE, desk=steps('a 0m | material = "test-glue"')))
    wait = row(plan, "desk/a").waits[0]
    assert (wait.end - wait.start).total_seconds() == 86400


def test_glue_is_not_spread_in_a_cold_shop(tmp_path: Path) -> None:
    shop = """
[[people]]
id = "ada"
hours = { monday = ["08:00-20:00"], tuesday = ["05:00-20:00"] }
[temperature]
day = "20C"
night = "5C"
"""
    # The shop closes at 17:00 and cools; Ada is there at 05:00 on Tuesday, and it is cold until 08:00.
    job = steps("a 9h", 'b 30m | material = "test-glue"')
    assert start(planned(open_shop(tmp_path, shop=shop, materials=GLUE, desk=job)), "desk/b") == "Tue 08:00"


# ---------------------------------------------------------------- dust

DUST = """
[rules]
dust_settles = "45m"
[[stations]]
id = "sander"
dusty = true
[[stations]]
id = "rack"
"""


def test_still_air_waits_until_the_dust_is_down(tmp_path: Path) -> None:
    job = steps('sand 1h | stations = ["sander"]', 'coat 30m | stations = ["rack"]; still_air = true')
    assert start(planned(open_shop(tmp_path, shop=DUST, desk=job)), "desk/coat") == "Mon 09:45"


def test_dust_waits_until_the_coat_is_dry(tmp_path: Path) -> None:
    coat = steps('coat 30m | stations = ["rack"]; waits = [{ name = "wet", takes = "2h", still_air = true }]')
    plan = planned(
        open_shop(
            tmp_path,
            shop=DUST,
            a=coat,
            b=steps('sand 1h | stations = ["sander"]; after = [{ step = "a/coat", when = "hands-off" }]'),
        )
    )
    assert start(plan, "b/sand") == "Mon 10:30"


def test_another_room_has_its_own_air(tmp_path: Path) -> None:
    job = steps('sand 1h | stations = ["sander"]', 'coat 30m | room = "loft"; still_air = true')
    assert start(planned(open_shop(tmp_path, shop=DUST, desk=job)), "desk/coat") == "Mon 09:00"


# ---------------------------------------------------------------- windows, passes


def test_a_hard_window_holds_back_its_predecessor(tmp_path: Path) -> None:
    # The coat must end at 16:30 or later, so that 15 h and half an hour reach to 08:00 the next day.
    job = steps('coat 30m | waits = [{ name = "tacks", takes = "15h" }]', 'next 1h | within = "30m"')
    plan = planned(open_shop(tmp_path, desk=job))
    assert (start(plan, "desk/coat"), start(plan, "desk/next")) == ("Mon 16:00", "Tue 08:00")
    assert not row(plan, "desk/next").missed


def test_a_window_that_may_be_missed_costs_what_it_says(tmp_path: Path) -> None:
    wait = 'waits = [{ name = "tacks", takes = "8h" }]'
    job = steps(f"coat 4h | {wait}", 'next 1h | within = "30m"; missed = { adds = "20m", why = "scuff" }')
    # Over on Monday at 20:00; keeping the window would hold the coat back until after Tuesday 8:00.
    step = row(planned(open_shop(tmp_path, desk=job)), "desk/next")
    assert (said(step.start), said(step.end), step.missed) == ("Tue 08:00", "Tue 09:20", True)


def test_later_passes_have_their_own_window_and_extra_work(tmp_path: Path) -> None:
    job = steps(
        'pour 1h | passes = 2; waits = [{ name = "gels", takes = "1h" }]; '
        'next_pass = { extra = "15m", within = "2h", missed = { adds = "10m" } }'
    )
    plan = planned(open_shop(tmp_path, desk=job))
    second = row(plan, "desk/pour", 2)
    assert (said(second.start), said(second.end), second.missed) == ("Mon 10:00", "Mon 11:15", False)
    assert said(second.window_ends) == "Mon 12:00"


def test_the_material_gives_the_window_of_the_next_pass(tmp_path: Path) -> None:
    book = '[oil]\nwaits = [{ name = "dries", takes = "1h" }]\nwithin = "3h"\nmissed = { adds = "5m" }\n'
    plan = planned(open_shop(tmp_path, materials=book, desk=steps('oil 1h | passes = 2; material = "oil"')))
    assert said(row(plan, "desk/oil", 2).window_ends) == "Mon 13:00"


def test_a_window_inside_after_counts_from_that_moment_alone(tmp_path: Path) -> None:
    job = steps(
        'a 1h | after = []; waits = [{ name = "sets", takes = "15h" }]',
        'b 1h | after = []; waits = [{ name = "sets", takes = "3h" }]',
        'c 1h | after = [{ step = "a", within = "5h" }, "b"]; within = "4h"',
    )
    plan = planned(open_shop(tmp_path, desk=job))
    step = row(plan, "desk/c")
    # `a` is the later one: over at 00:00 at best; both windows hold, and each is kept by a later start.
    a_over, limit = row(plan, "desk/a").complete, step.start
    assert (limit - a_over).total_seconds() <= 4 * 3600


# ---------------------------------------------------------------- dates


def test_begin_and_appointment_are_kept(tmp_path: Path) -> None:
    job = "begin = 2026-03-03\n" + steps("a 1h", "b 1h | on = 2026-03-03T10:30:00")
    plan = planned(open_shop(tmp_path, desk=job))
    assert (start(plan, "desk/a"), start(plan, "desk/b")) == ("Tue 08:00", "Tue 10:30")


def test_workdays_away_skip_the_weekend(tmp_path: Path) -> None:
    job = steps("draw 2h", 'smith | away = { who = "smith", takes = "5 workdays" }', "fit 1h")
    plan = planned(open_shop(tmp_path, now="2026-03-05T08:00", desk=job))
    away = row(plan, "desk/smith")
    assert (f"{away.start:%d %H:%M}", f"{away.end:%d %H:%M}", away.people) == ("05 10:00", "12 10:00", ())
    assert f"{row(plan, 'desk/fit').start:%d %H:%M}" == "12 10:00"


def test_work_away_leaves_at_the_first_minute_it_may(tmp_path: Path) -> None:
    job = steps('draw 2h | waits = [{ name = "approved", takes = "9h" }]', 'smith | away = { takes = "1h" }')
    assert start(planned(open_shop(tmp_path, desk=job)), "desk/smith") == "Mon 19:00"


@pytest.mark.parametrize(
    ("on", "expected"),
    [("2026-03-04", "Wed 08:00"), ("2026-03-07", "Mon 08:00"), ("2026-03-02", "Mon 08:00")],
)
def test_a_delivery_arrives_at_the_opening_of_its_day_or_the_next_open_one(
    tmp_path: Path, on: str, expected: str
) -> None:
    job = steps(f'hinges | arrives = {{ what = "hinges", on = {on} }}', "fit 1h")
    assert start(planned(open_shop(tmp_path, desk=job)), "desk/fit") == expected


def test_an_overdue_delivery_is_expected_at_the_next_opening(tmp_path: Path) -> None:
    job = steps("hinges | arrives = { on = 2026-02-27 }", "fit 1h")
    plan = planned(open_shop(tmp_path, now="2026-03-02T18:00", desk=job))
    assert (row(plan, "desk/hinges").overdue, start(plan, "desk/fit")) == (True, "Tue 08:00")


# ---------------------------------------------------------------- the aim


def test_the_earlier_promise_comes_first(tmp_path: Path) -> None:
    a = "promise = 2026-03-03\n" + steps("work 8h")
    b = "promise = 2026-03-02\n" + steps("work 8h")
    plan = planned(open_shop(tmp_path, a=a, b=b))
    assert (plan.late, start(plan, "b/work"), start(plan, "a/work")) == (0, "Mon 08:00", "Tue 08:00")


def test_between_late_jobs_the_heavier_comes_first(tmp_path: Path) -> None:
    a = "promise = 2026-03-01\n" + steps("work 4h")
    b = "promise = 2026-03-01\nweight = 3\n" + steps("work 4h")
    plan = planned(open_shop(tmp_path, a=a, b=b))
    # Promised until Sunday midnight: b is 12 h late with weight 3, a 17 h.
    assert plan.late == 3 * 720 + 1020
    assert {job.job: job.late_minutes for job in plan.jobs} == {"a": 1020, "b": 720}
    assert plan.finish == 3 * 240 + 540


# ---------------------------------------------------------------- clock changes


def test_a_cure_over_a_short_clock_change_night_is_exact(tmp_path: Path) -> None:
    # In Berlin the night to Sunday 29 March 2026 is an hour short: 24 h from Saturday 12:00 end at 13:00.
    head = 'name = "x"\ntimezone = "Europe/Berlin"\n[hours]\nsaturday = ["08:00-12:00"]\nsunday = ["08:00-18:00"]\n'
    job = steps('a 4h | waits = [{ name = "dries", takes = "24h" }]', "b 1h")
    assert (
        start(planned(open_shop(tmp_path, head=head, now="2026-03-28T08:00", desk=job)), "desk/b")
        == "Sun 13:00"
    )


def test_a_cure_over_a_long_clock_change_night_is_exact(tmp_path: Path) -> None:
    head = 'name = "x"\ntimezone = "Europe/Berlin"\n[hours]\nsaturday = ["08:00-12:00"]\nsunday = ["08:00-18:00"]\n'
    job = steps('a 4h | waits = [{ name = "dries", takes = "24h" }]', "b 1h")
    assert (
        start(planned(open_shop(tmp_path, head=head, now="2026-10-24T08:00", desk=job)), "desk/b")
        == "Sun 11:00"
    )


def test_workdays_keep_the_clock_time_over_a_change(tmp_path: Path) -> None:
    job = steps('smith | away = { takes = "2 workdays" }')
    away = row(planned(open_shop(tmp_path, now="2026-03-27T09:00", desk=job)), "desk/smith")
    assert away.end.isoformat() == "2026-03-31T09:00:00+02:00"
