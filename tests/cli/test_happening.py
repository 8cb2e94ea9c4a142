"""What happens in a shop, told by command, and what is planned from it: each small shop worked out by hand."""

from __future__ import annotations

import pytest
from happening import COATS, TWO_MAKERS, Happening

pytestmark = pytest.mark.slow


CUT_AND_GLUE = (
    'cut 30m | waits = [{ name = "rests", takes = "4h" }]',
    'glue 40m | within = "1h"; missed = { adds = "30m" }',
    "sand 1h",
)


# ---------------------------------------------------------------- windows that were missed


def test_the_extra_work_of_a_missed_window_remains_after_the_start(yard: Happening) -> None:
    yard.job("a", *CUT_AND_GLUE)
    yard.do("Mon 8:00", "start", "a/cut")
    yard.do("Mon 8:30", "finish", "a/cut")
    # The rest is over at 12:30, so the window closes at 13:30. At 15:00: 40 minutes and 30 more.
    assert yard.span("Mon 15:00", "a/glue") == "Mon 15:00-16:10"
    assert yard.do("Mon 15:00", "start", "a/glue").endswith("No delivery moves.")
    for now in ("Mon 15:01", "Mon 15:40", "Mon 16:05"):
        assert yard.span(now, "a/glue") == "Mon 15:00-16:10"
        assert yard.row(now, "a/glue")["missed"] is True
    # At 16:30 it has overrun: five minutes more, and sanding, 25 minutes today and 35 tomorrow.
    assert yard.span("Mon 16:30", "a/glue") == "Mon 15:00-16:35"
    assert yard.span("Mon 16:30", "a/sand") == "Mon 16:35-Tue 8:35"
    yard.do("Mon 16:20", "finish", "a/glue")
    assert yard.row("Tue 9:00", "a/glue")["missed"] is True
    assert yard.row("Tue 9:00", "a/glue")["state"] == "done"


def test_a_kept_window_adds_nothing(yard: Happening) -> None:
    yard.job("a", *CUT_AND_GLUE)
    yard.do("Mon 8:30", "finish", "a/cut")
    yard.do("Mon 13:30", "start", "a/glue")  # the last minute of the window
    assert yard.span("Mon 13:31", "a/glue") == "Mon 13:30-14:10"
    assert yard.row("Mon 13:31", "a/glue")["missed"] is False


def test_a_start_logged_late_is_judged_by_its_own_time(yard: Happening) -> None:
    yard.job("a", *CUT_AND_GLUE)
    yard.do("Mon 8:30", "finish", "a/cut")
    yard.do("Mon 15:00", "start", "a/glue", "--at", "13:20")
    assert yard.row("Mon 15:00", "a/glue")["missed"] is False


def test_a_finish_without_a_start_includes_the_extra_work_of_a_missed_window(yard: Happening) -> None:
    yard.job("a", *CUT_AND_GLUE)
    yard.do("Mon 8:30", "finish", "a/cut")
    yard.do("Mon 16:00", "finish", "a/glue")
    # 70 minutes that ended at 16:00 began at 14:50, after the window had closed at 13:30.
    assert yard.span("Mon 16:00", "a/glue") == "Mon 14:50-16:00"
    assert yard.row("Mon 16:00", "a/glue")["missed"] is True


def test_lessons_count_the_extra_work_of_a_missed_window_as_estimated(yard: Happening) -> None:
    yard.job("a", *CUT_AND_GLUE)
    yard.do("Mon 8:30", "finish", "a/cut")
    yard.do("Mon 15:00", "start", "a/glue")
    yard.do("Mon 16:10", "finish", "a/glue")
    (lesson,) = yard.ask("Mon 16:10", "learned")["lessons"]
    assert lesson["factor"] == 1.0  # 70 minutes where 40 and 30 were foreseen


def test_each_of_three_coats_has_its_own_window(yard: Happening) -> None:
    yard.job("a", *COATS)
    yard.do("Mon 8:00", "start", "a/oil")
    yard.do("Mon 8:20", "finish", "a/oil")
    # Dry at 9:20, window until 11:20. At 11:00 it is kept: 20 + 15 minutes.
    assert "start of Oil (2 of 3)" in yard.do("Mon 11:00", "start", "a/oil")
    assert yard.span("Mon 11:10", "a/oil", 2) == "Mon 11:00-11:35"
    yard.do("Mon 11:35", "finish", "a/oil")
    # Dry at 12:35, window until 14:35. At 15:00 it is gone: 20 + 15 + 10 minutes.
    assert "start of Oil (3 of 3)" in yard.do("Mon 15:00", "start", "a/oil")
    assert yard.span("Mon 15:30", "a/oil", 3) == "Mon 15:00-15:45"
    rows = [yard.row("Mon 15:30", "a/oil", n) for n in (1, 2, 3)]
    assert [(r["state"], r["missed"]) for r in rows] == [
        ("done", False), ("done", False), ("under way", True),
    ]  # fmt: skip


def test_a_pass_added_before_it_later_does_not_excuse_a_missed_window(yard: Happening) -> None:
    yard.job("a", *CUT_AND_GLUE)
    yard.do("Mon 8:30", "finish", "a/cut")
    yard.do("Mon 15:00", "start", "a/glue")
    yard.do("Mon 15:10", "again", "a/cut")
    assert yard.row("Mon 15:10", "a/glue")["missed"] is True
    assert yard.span("Mon 15:10", "a/glue") == "Mon 15:00-16:10"


# ---------------------------------------------------------------- who starts a step


def test_an_absent_maker_starts_nothing(yard: Happening) -> None:
    yard.shop(TWO_MAKERS)
    yard.job("a", "x 2h")
    yard.do("Mon 8:00", "start", "a/x")
    assert yard.people() == ["kim"]
    assert yard.span("Mon 8:30", "a/x") == "Mon 8:00-10:00"


def test_the_planned_people_start_a_step(yard: Happening) -> None:
    yard.shop('[[people]]\nid = "ana"\nhours = { monday = ["08:00-09:00"] }\n[[people]]\nid = "kim"\n')
    yard.job("a", "x 2h")
    # Both are in and free at 8:00; only Kim can be through by 10:00.
    yard.do("Mon 8:00", "start", "a/x")
    assert yard.people() == ["kim"]
    assert yard.span("Mon 8:30", "a/x") == "Mon 8:00-10:00"


def test_a_free_maker_starts_the_step_of_an_absent_one(yard: Happening) -> None:
    yard.shop(TWO_MAKERS + '[[people]]\nid = "lou"\n')
    yard.job("a", "x 4h")
    yard.job("b", "y 1h")
    yard.do("Mon 8:00", "start", "a/x", "--by", "Kim")
    assert yard.people() == ["kim"]
    yard.do("Mon 8:30", "start", "b/y")
    assert yard.people() == ["lou"]


def test_before_opening_the_planned_person_of_that_day_starts(yard: Happening) -> None:
    yard.shop(TWO_MAKERS)
    yard.job("a", "x 2h")
    yard.do("Mon 7:50", "start", "a/x")
    assert yard.people() == ["kim"]
    # The ten minutes before opening are nobody's hours: two hours from 8:00.
    assert yard.span("Mon 8:30", "a/x") == "Mon 7:50-10:00"


def test_two_people_start_work_for_two_a_maker_first(yard: Happening) -> None:
    yard.shop('[[people]]\nid = "sam"\nrole = "helper"\n[[people]]\nid = "ana"\n')
    yard.job("a", "lift 1h | hands = 2")
    yard.do("Mon 8:00", "start", "a/lift")
    assert yard.people() == ["ana", "sam"]


@pytest.mark.parametrize(
    ("names", "said"),
    [("ann", "did you mean `ana`?"), ("ana,kim", "it takes one person"), (" , ", "write one, or several")],
)
def test_impossible_names_are_refused(yard: Happening, names: str, said: str) -> None:
    yard.shop('[[people]]\nid = "ana"\n[[people]]\nid = "kim"\n')
    yard.job("a", "x 1h")
    assert said in yard.refused("Mon 8:00", "start", "a/x", "--by", names)


# ---------------------------------------------------------------- away and back, several times


def test_an_absence_with_two_passes_comes_back_twice(yard: Happening) -> None:
    yard.job("a", 'chrome | passes = 2; away = { who = "plater", takes = "1d" }', "fit 1h")
    yard.do("Mon 8:00", "start", "a/chrome")
    assert "arrival of Chrome (1 of 2)" in yard.do("Mon 15:00", "arrived", "a/chrome")
    first, second = (yard.row("Mon 15:10", "a/chrome", n) for n in (1, 2))
    assert (first["state"], second["state"]) == ("done", "planned")
    # The second time it leaves the very minute it may: now; back a day later.
    assert yard.span("Mon 15:10", "a/chrome", 2) == "Mon 15:10-Tue 15:10"
    assert yard.span("Mon 15:10", "a/fit") == "Tue 15:10-16:10"
    yard.do("Mon 15:30", "start", "a/chrome")
    assert "arrival of Chrome (2 of 2)" in yard.do("Tue 10:00", "arrived", "a/chrome")
    assert yard.span("Tue 10:00", "a/fit") == "Tue 10:00-11:00"
    assert "arrived 10:00 already" in yard.refused("Tue 11:00", "arrived", "a/chrome")


def test_a_delivery_in_two_lots_has_arrived_when_both_have(yard: Happening) -> None:
    yard.job("a", 'boards | passes = 2; arrives = { what = "boards", on = 2026-03-05 }', "mill 1h")
    yard.do("Tue 9:00", "arrived", "a/boards")
    assert yard.span("Tue 9:00", "a/mill") == "Thu 8:00-9:00"
    yard.do("Wed 11:30", "arrived", "a/boards")
    # Half an hour before lunch, half an hour after.
    assert yard.span("Wed 11:30", "a/mill") == "Wed 11:30-13:30"


# ---------------------------------------------------------------- what may not start


def test_an_unfinished_predecessor_is_reported_with_its_end(yard: Happening) -> None:
    yard.job("a", "saw 2h", "plane 1h")
    yard.do("Mon 8:00", "start", "a/saw")
    line = yard.refused("Mon 8:30", "start", "a/plane")
    assert "Plane may not be started yet: Saw is not finished; it may start from 10:00 on" in line
    assert "--anyway" in line
    out = yard.do("Mon 8:30", "start", "a/plane", "--anyway")
    assert "Logged, but Saw is not finished yet in the journal." in out
    assert yard.row("Mon 8:40", "a/plane")["state"] == "under way"


def test_a_running_wait_is_reported_with_its_exact_end(yard: Happening) -> None:
    yard.job("a", 'glue 1h | waits = [{ name = "in clamps", takes = "3h" }]', "plane 1h")
    yard.do("Mon 9:00", "finish", "a/glue")
    assert "Glue: in clamps until 12:00" in yard.refused("Mon 11:59", "start", "a/plane")
    yard.do("Mon 12:00", "start", "a/plane")


def test_waiting_for_hands_off_alone_does_not_wait_for_the_cure(yard: Happening) -> None:
    yard.job(
        "a",
        'glue 1h | waits = [{ name = "in clamps", takes = "3h" }]',
        'wipe 10m | after = [{ step = "glue", when = "hands-off" }]',
        'plane 1h | after = ["glue"]',
    )
    yard.do("Mon 9:00", "finish", "a/glue")
    yard.do("Mon 9:00", "start", "a/wipe")
    yard.do("Mon 9:10", "finish", "a/wipe")
    assert "until 12:00" in yard.refused("Mon 9:10", "start", "a/plane")


def test_the_assembly_waits_for_a_part_that_is_not_glued(yard: Happening) -> None:
    parts = "".join(
        f'[[parts]]\nid = "{id}"\nname = "{name}"\n[[parts.steps]]\nid = "glue"\nhands_on = "1h"\n'
        for id, name in (("top", "Desk top"), ("base", "Base"))
    )
    (yard.folder / "jobs" / "desk.toml").write_text(
        f'title = "Cherry desk"\n{parts}[[steps]]\nid = "join"\nhands_on = "1h"\n', "utf-8"
    )
    yard.do("Mon 9:00", "finish", "desk/top/glue")
    # The base is glued from 9:00 to 10:00.
    line = yard.refused("Mon 9:00", "start", "desk/join")
    assert "Glue (Base of Cherry desk) is not finished; it may start from 10:00 on" in line
    assert "Desk top" not in line


def test_the_next_coat_waits_for_the_one_before(yard: Happening) -> None:
    yard.job("a", *COATS)
    yard.do("Mon 8:20", "finish", "a/oil")
    assert "Oil (1 of 3): dries until 9:20" in yard.refused("Mon 9:00", "start", "a/oil")


def test_cold_can_forbid_a_start(yard: Happening) -> None:
    yard.shop('[temperature]\nday = "8C"\nnight = "8C"\n')
    (yard.folder / "materials.toml").write_text(
        '[bone-glue]\nname = "Bone glue"\nkind = "glue"\nlowest = "12C"\nwaits = []\n', "utf-8"
    )
    yard.job("a", 'glue 1h | material = "bone-glue"')
    line = yard.refused("Mon 9:00", "start", "a/glue")
    assert "the shop is at 8 C, and Bone glue needs 12 C" in line
    yard.do("Mon 9:05", "reading", "15C")
    yard.do("Mon 9:05", "start", "a/glue")


def test_a_step_after_a_cancelled_job_is_refused(yard: Happening) -> None:
    yard.job("jig", "make 1h", top='status = "cancelled"\n')
    yard.job("a", 'rout 1h | after = ["jig/make"]')
    assert "the job jig is cancelled" in yard.refused("Mon 9:00", "start", "a/rout")
