"""Jobs that are over: told as ever, no longer planned, alive again when something is."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from small_shops import later, open_shop, planned, row, said, steps

from shopday.planning.encoding.problem_encoder import encode_problem
from shopday.planning.lessons.job_to_recipe import actual_times
from shopday.planning.open_shop import OpenShop
from shopday.planning.plan import Plan, State
from shopday.planning.questions.why import why

pytestmark = pytest.mark.slow

STATIONS = """
[[stations]]
id = "bench"
[[stations]]
id = "saw"
dusty = true
[rules]
dust_settles = "45m"
"""
SHELF = "promise = 2026-03-03\n" + steps(
    'cut 1h | stations = ["saw"]',
    'glue 1h | stations = ["bench"]; waits = [{ name = "in clamps", takes = "2h", keeps = "all" }]',
    "deliver 30m",
)
DESK = steps(
    'plane 2h | stations = ["bench"]',
    'fit 3h | waits = [{ name = "dries", takes = "4h" }]; within = "30h"',
    'cut 2h | stations = ["saw"]',
)
LATER = steps(
    'fit 1h | after = [{ step = "shelf/glue", when = "in clamps", within = "60h" }]',
    "oil 1h",
)
WEDNESDAY = "2026-03-04T08:00"


def shelf_done(shop: OpenShop) -> None:
    """Three steps of Monday, the last one without a start."""
    for step, begun, over in (("cut", "08:00", "09:05"), ("glue", "09:05", "10:00")):
        shop.log("start", f"shelf/{step}", shop.zone.moment(shop.zone.of(moment(begun))))
        shop.log("finish", f"shelf/{step}", shop.zone.moment(shop.zone.of(moment(over))))
    shop.log("finish", "shelf/deliver", shop.zone.moment(shop.zone.of(moment("14:00"))))


def moment(clock: str) -> dt.datetime:
    return dt.datetime.fromisoformat(f"2026-03-02T{clock}")


def delivered(folder: Path, now: str = WEDNESDAY, **jobs: str) -> OpenShop:
    """A shop in which the shelf was delivered on Monday."""
    files = {"shelf": SHELF, **jobs}
    shelf_done(open_shop(folder, now="2026-03-02T16:00", shop=STATIONS, **files))
    return later(OpenShop(folder), now)


def asked(shop: OpenShop) -> set[str]:
    """The jobs that the scheduler is asked about."""
    built = encode_problem(shop.folder, shop.state(), shop.minute())
    assert len(built.passes) == len(built.problem.tasks)
    return set(built.jobs)


def without_shelf(plan: Plan) -> tuple[object, ...]:
    rows = tuple(step for step in plan.steps if step.job != "shelf")
    return plan.late, plan.finish, rows, tuple(job for job in plan.jobs if job.job != "shelf")


def test_the_rest_is_planned_as_if_the_finished_job_had_never_existed(tmp_path: Path) -> None:
    shop = delivered(tmp_path, desk=DESK, chair=steps("turn 5h", 'sand 1h | stations = ["saw"]'))
    assert asked(shop) == {"desk", "chair"}
    plan = planned(shop)
    (tmp_path / "jobs" / "shelf.toml").unlink()
    alone = planned(later(shop, WEDNESDAY))
    assert without_shelf(plan) == without_shelf(alone)
    assert len(plan.steps) == len(alone.steps) + 3


def test_a_finished_job_keeps_its_steps_and_delivery_in_the_plan(tmp_path: Path) -> None:
    plan = planned(delivered(tmp_path, desk=DESK))
    mine = [step for step in plan.steps if step.job == "shelf"]
    assert [(s.step, s.state, said(s.start), said(s.end), said(s.complete)) for s in mine] == [
        ("cut", State.DONE, "Mon 08:00", "Mon 09:05", "Mon 09:05"),
        ("glue", State.DONE, "Mon 09:05", "Mon 10:00", "Mon 12:00"),
        ("deliver", State.DONE, "Mon 13:30", "Mon 14:00", "Mon 14:00"),
    ]
    (wait,) = mine[1].waits
    assert (said(wait.end), said(wait.free), wait.keeps) == ("Mon 12:00", "Mon 13:00", ("bench",))
    job = plan.job("shelf")
    assert job is not None
    assert (said(job.delivery), job.late_minutes, job.delivered) == ("Mon 14:00", 0, True)
    assert [job.job for job in plan.jobs] == ["desk", "shelf"]


def test_the_plan_of_a_finished_job_is_the_same_as_when_the_scheduler_places_it(tmp_path: Path) -> None:
    """As it is while another job has a step to come after one of it."""
    shop = delivered(tmp_path, desk=DESK, frame='status = "shelved"\n' + LATER)
    told = planned(shop)
    assert asked(shop) == {"desk"}
    (tmp_path / "jobs" / "frame.toml").write_text(LATER, "utf-8")
    shop = later(shop, WEDNESDAY)
    assert asked(shop) == {"desk", "frame", "shelf"}
    rows = [[step for step in plan.steps if step.job == "shelf"] for plan in (told, planned(shop))]
    assert rows[0] == rows[1]
    assert told.job("shelf") == planned(shop).job("shelf")


@pytest.mark.parametrize(
    ("last", "gone"),
    [
        ('deliver 1h | waits = [{ name = "hardens", takes = "60h", informs = true }]', "2026-03-05T02:00"),
        ('deliver 1h | waits = [{ name = "dries", takes = "30h" }]', "2026-03-03T20:00"),
        ('deliver 1h | stations = ["bench"]; waits = [{ name = "rests", takes = "4h", keeps = "all" }]',
         "2026-03-03T08:00"),
        ('deliver 1h | stations = ["saw"]', "2026-03-02T14:45"),
    ],
)  # fmt: skip
def test_a_finished_job_stays_in_the_problem_while_one_of_its_waits_goes_on(
    tmp_path: Path, last: str, gone: str
) -> None:
    """A wait, also one that is only told; a bench not cleared; dust. It is over with the next shop hours."""
    shelf = steps("cut 1h", "glue 1h", last)
    shop = open_shop(tmp_path, now="2026-03-02T16:00", shop=STATIONS, shelf=shelf, desk=DESK)
    shelf_done(shop)
    minute = shop.zone.of(dt.datetime.fromisoformat(gone))
    planned(shop)
    hours = encode_problem(shop.folder, shop.state(), shop.minute()).hours
    opens = hours.calendars[hours.open].open_from(minute)
    assert opens is not None
    before, after = (later(shop, shop.zone.moment(m).isoformat()) for m in (opens - 1, opens))
    assert asked(before) == {"shelf", "desk"}
    assert asked(after) == {"desk"}
    planned(before)
    planned(after)


def test_a_step_may_wait_for_one_of_a_job_that_is_over(tmp_path: Path) -> None:
    """Its window counts from there, and what is asked about it knows the step."""
    shop = delivered(tmp_path, frame=LATER, desk=DESK)
    assert asked(shop) == {"frame", "desk", "shelf"}
    fit = row(planned(shop), "frame/fit")
    assert (said(fit.start), said(fit.window_ends)) == ("Wed 08:00", "Thu 00:00")
    shop.log("finish", "frame/fit", shop.zone.moment(shop.minute()))
    assert asked(shop) == {"frame", "desk"}
    assert row(planned(shop), "frame/fit").state is State.DONE


def test_another_pass_brings_a_finished_job_back(tmp_path: Path) -> None:
    shop = delivered(tmp_path, desk=DESK)
    assert asked(shop) == {"desk"}
    shop.log("again", "shelf/deliver")
    assert asked(shop) == {"desk", "shelf"}
    plan = planned(shop)
    assert row(plan, "shelf/deliver", 2).state is State.PLANNED
    job = plan.job("shelf")
    assert job is not None
    assert not job.delivered
    assert job.late_minutes


def test_a_job_is_over_once_everything_has_arrived(tmp_path: Path) -> None:
    there = '[[steps]]\nid = "glass"\nafter = []\narrives = { what = "glass", on = 2026-03-02 }\n'
    shop = delivered(tmp_path, shelf=SHELF + there, desk=DESK)
    assert asked(shop) == {"desk", "shelf"}
    assert row(planned(shop), "shelf/glass").overdue
    shop.log("arrived", "shelf/glass")
    assert asked(later(shop, "2026-03-04T08:01")) == {"desk"}
    assert row(planned(later(shop, "2026-03-04T08:01")), "shelf/glass").state is State.DONE


def test_questions_about_steps_of_a_finished_job_are_answered(tmp_path: Path) -> None:
    shop = delivered(tmp_path, desk=DESK)
    plan = planned(shop)
    assert why(shop, plan, "shelf/glue") == ("Glue (shelf) is done since Mon 2 Mar 10:00.",)
    assert actual_times(shop, "shelf") == {"shelf/cut": 65, "shelf/glue": 55}
    assert [why(shop, plan, step.address) for step in plan.steps if step.job == "desk"]
