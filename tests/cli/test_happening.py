"""What happens in a shop, told by command, and what is planned from it: each small shop worked out by hand."""

from __future__ import annotations

import pytest
from happening import DAYS, Happening

pytestmark = pytest.mark.slow

TWO_MAKERS = f"""
[[people]]
id = "ana"
hours = {{ {", ".join(f'{day} = ["08:00-12:00", "13:00-17:00"]' for day in DAYS[1:2])} }}
[[people]]
id = "kim"
"""
"""Ana is in on Tuesdays alone."""

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


COATS = (
    'oil 20m | passes = 3; waits = [{ name = "dries", takes = "1h" }]; '
    'next_pass = { extra = "15m", within = "2h", missed = { adds = "10m" } }',
)


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


# ---------------------------------------------------------------- put down for now


def test_a_pause_over_lunch(yard: Happening) -> None:
    yard.job("a", "carve 2h")
    yard.do("Mon 11:00", "start", "a/carve")
    assert "putting down of Carve" in yard.do("Mon 11:30", "pause", "a/carve")
    # Half an hour is done; the rest is planned from 13:00, as nobody is in before.
    row = yard.row("Mon 12:30", "a/carve")
    assert (row["state"], row["put_down"]) == ("under way", True)
    assert yard.stretches("Mon 12:30", "a/carve") == ["Mon 11:00-11:30", "Mon 13:00-14:30"]
    yard.do("Mon 14:00", "start", "a/carve")
    assert yard.stretches("Mon 14:10", "a/carve") == ["Mon 11:00-11:30", "Mon 14:00-15:30"]
    yard.do("Mon 15:20", "finish", "a/carve")
    assert yard.stretches("Mon 16:00", "a/carve") == ["Mon 11:00-11:30", "Mon 14:00-15:20"]
    # 30 + 80 minutes of work where 120 were foreseen, whatever the clock ran.
    (lesson,) = yard.ask("Mon 16:00", "learned")["lessons"]
    assert lesson["factor"] == pytest.approx(110 / 120, abs=0.0005)


def test_a_pause_over_night(yard: Happening) -> None:
    yard.job("a", "carve 2h")
    yard.do("Mon 16:00", "start", "a/carve")
    yard.do("Mon 16:40", "pause", "a/carve")
    yard.do("Tue 9:00", "start", "a/carve")
    assert yard.stretches("Tue 9:30", "a/carve") == ["Mon 16:00-16:40", "Tue 9:00-10:20"]


def test_a_paused_step_is_shown_as_paused(yard: Happening) -> None:
    yard.job("a", "carve 2h", top='title = "Ladle"\n')
    yard.do("Mon 9:00", "start", "a/carve")
    assert "shopday finish a/carve" in yard.do("Mon 9:30", "today")
    yard.do("Mon 9:30", "pause", "a/carve")
    out = yard.do("Mon 9:30", "today")
    assert "Start now: Carve" in out
    assert "shopday start a/carve" in out
    assert "Begun, and put down for now: carve." in yard.do("Mon 9:30", "note", "a")


def test_a_pause_frees_people_and_bench(yard: Happening) -> None:
    yard.shop('[[stations]]\nid = "bench"\n')
    yard.job("a", 'carve 2h | stations = ["bench"]')
    yard.job("b", 'mend 1h | stations = ["bench"]')
    yard.do("Mon 9:30", "start", "a/carve")
    yard.do("Mon 10:00", "pause", "a/carve")
    yard.do("Mon 10:00", "start", "b/mend")
    assert yard.people() == ["maker"]
    # Mending has both until 11:00; an hour and a half of carving is left after it, with lunch in between.
    assert yard.span("Mon 10:00", "b/mend") == "Mon 10:00-11:00"
    assert yard.stretches("Mon 10:00", "a/carve") == ["Mon 9:30-10:00", "Mon 11:00-12:00", "Mon 13:00-13:30"]


def test_another_person_can_resume_a_paused_step(yard: Happening) -> None:
    yard.shop(TWO_MAKERS)
    yard.job("a", "carve 3h")
    yard.do("Mon 16:00", "start", "a/carve")
    yard.do("Mon 17:00", "pause", "a/carve")
    yard.do("Tue 9:00", "start", "a/carve", "--by", "ana")
    # Kim did an hour on Monday, when Ana is not in; two are left.
    assert yard.stretches("Tue 9:30", "a/carve") == ["Mon 16:00-17:00", "Tue 9:00-11:00"]
    assert yard.row("Tue 9:30", "a/carve")["people"] == ["ana"]


def test_a_step_finished_during_a_pause_ends_then(yard: Happening) -> None:
    yard.job("a", 'glue 1h | waits = [{ name = "in clamps", takes = "2h" }]')
    yard.do("Mon 8:00", "start", "a/glue")
    yard.do("Mon 8:40", "pause", "a/glue")
    yard.do("Mon 9:30", "finish", "a/glue")
    row = yard.row("Mon 9:30", "a/glue")
    assert (row["state"], row["complete"][11:16]) == ("waiting", "11:30")
    assert yard.stretches("Mon 9:30", "a/glue") == ["Mon 8:00-8:40"]


NIGHTS = '[hours]\nsaturday = ["20:00-24:00"]\nsunday = ["00:00-10:00"]\n'


def test_a_pause_on_the_night_the_clocks_go_forward(yard: Happening) -> None:
    yard.shop(hours=NIGHTS)
    yard.job("a", "watch 5h")
    # On 29 March 2:00 becomes 3:00. From 23:00 to 4:00 on the wall are four hours: one is left.
    yard.do("2026-03-28T23:00", "start", "a/watch")
    assert yard.row("2026-03-29T04:00", "a/watch")["end"] == "2026-03-29T05:00:00+02:00"
    # Put down from 1:00 to 4:00: two hours are done, three are left.
    yard.do("2026-03-29T01:00", "pause", "a/watch")
    yard.do("2026-03-29T04:00", "start", "a/watch")
    assert yard.row("2026-03-29T04:30", "a/watch")["end"] == "2026-03-29T07:00:00+02:00"


def test_work_on_the_night_the_clocks_go_back(yard: Happening) -> None:
    yard.shop(hours=NIGHTS)
    yard.job("a", "watch 6h")
    # On 25 October 3:00 becomes 2:00. From 23:00 to 4:00 on the wall are six hours: nothing is left but five minutes.
    yard.do("2026-10-24T23:00", "start", "a/watch")
    assert yard.row("2026-10-25T03:00", "a/watch")["end"] == "2026-10-25T04:00:00+01:00"
    assert yard.row("2026-10-25T04:00", "a/watch")["end"] == "2026-10-25T04:05:00+01:00"


@pytest.mark.parametrize(
    ("now", "argv", "said"),
    [
        ("Mon 8:00", ("pause", "a/carve"), "is not under way"),
        ("Mon 9:40", ("pause", "a/carve"), "was put down 9:30 already; start it to take it up again"),
        ("Mon 9:40", ("start", "a/carve", "--at", "09:20"), "put down 9:30, after 9:20"),
        ("Mon 9:40", ("pause", "a/hinges"), "cannot be put down"),
    ],
)
def test_impossible_pauses_and_resumptions_are_refused(
    yard: Happening, now: str, argv: tuple[str, ...], said: str
) -> None:
    yard.job("a", "carve 2h", "hinges | arrives = { on = 2026-03-05 }; after = []")
    if now != "Mon 8:00":
        yard.do("Mon 9:00", "start", "a/carve")
        yard.do("Mon 9:30", "pause", "a/carve")
    assert said in yard.refused(now, *argv)


# ---------------------------------------------------------------- not needed


def test_successors_of_a_skipped_step_wait_for_its_predecessors(
    yard: Happening,
) -> None:
    yard.job("a", "saw 2h", 'fill 1h | waits = [{ name = "dries", takes = "3h" }]', "sand 1h")
    yard.do("Mon 8:00", "start", "a/saw")
    # Saw until 10:00, fill until 11:00, dry at 14:00, sand until 15:00.
    assert yard.span("Mon 8:30", "a/sand") == "Mon 14:00-15:00"
    assert "skipping of Fill" in yard.do("Mon 8:30", "skip", "a/fill")
    row = yard.row("Mon 8:30", "a/fill")
    assert (row["state"], row["skipped"], row["waits"]) == ("done", True, [])
    assert yard.span("Mon 8:30", "a/fill") == "Mon 8:30-8:30"
    assert yard.span("Mon 8:30", "a/sand") == "Mon 10:00-11:00"
    assert "Saw is not finished" in yard.refused("Mon 9:00", "start", "a/sand")


def test_a_skipped_step_is_no_case_for_lessons(yard: Happening) -> None:
    yard.job("a", "saw 2h", "sand 1h")
    yard.do("Mon 8:00", "start", "a/saw")
    yard.do("Mon 9:00", "skip", "a/saw")
    assert yard.span("Mon 9:00", "a/sand") == "Mon 9:00-10:00"
    assert yard.ask("Mon 9:00", "learned")["lessons"] == []


def test_skipping_a_coat_keeps_the_others(yard: Happening) -> None:
    yard.job("a", *COATS, "rub 30m")
    yard.do("Mon 8:20", "finish", "a/oil")
    assert "skipping of Oil (2 of 3)" in yard.do("Mon 8:30", "skip", "a/oil")
    # The third still waits for the first to dry, 9:20, and takes 20 + 15 minutes.
    assert yard.span("Mon 8:30", "a/oil", 3) == "Mon 9:20-9:55"
    yard.do("Mon 8:40", "skip", "a/oil")
    assert yard.span("Mon 8:40", "a/rub") == "Mon 9:20-9:50"
    assert "done already" in yard.refused("Mon 8:50", "skip", "a/oil")


def test_a_window_counts_from_the_minute_of_the_skip(yard: Happening) -> None:
    yard.job(
        "a",
        'fill 1h | waits = [{ name = "dries", takes = "3h" }]',
        'sand 1h | within = "2h"; missed = { adds = "30m" }',
    )
    yard.do("Mon 8:00", "skip", "a/fill")
    yard.do("Mon 10:01", "start", "a/sand")
    assert yard.span("Mon 10:05", "a/sand") == "Mon 10:01-11:31"


def test_a_wait_of_a_skipped_step_delays_nothing(yard: Happening) -> None:
    yard.job(
        "a",
        'glue 1h | waits = [{ name = "in clamps", takes = "1h" }, { name = "hardens", takes = "9h" }]',
        'scrape 1h | after = [{ step = "glue", when = "in clamps" }]',
    )
    yard.do("Mon 8:00", "skip", "a/glue")
    assert yard.span("Mon 8:00", "a/scrape") == "Mon 8:00-9:00"


# ---------------------------------------------------------------- undo and redo


def test_undo_and_redo_name_their_fact_and_a_new_fact_ends_redo(yard: Happening) -> None:
    yard.job("hall", "saw 1h", 'glue 1h | name = "Glue up the seat"', top='title = "Hall bench"\n')
    yard.do("Mon 8:00", "start", "hall/saw")
    yard.do("Mon 9:00", "finish", "hall/saw")
    yard.do("Mon 9:00", "start", "hall/glue")
    full = yard.plan("Mon 9:30")
    assert yard.do("Mon 9:30", "undo").startswith("Undone: start of Glue up the seat (Hall bench), 9:00.")
    assert yard.do("Mon 9:30", "undo").startswith("Undone: finish of Saw (Hall bench), 9:00.")
    # The hour is not over at 9:30 by the journal: five minutes are left.
    assert yard.span("Mon 9:30", "hall/saw") == "Mon 8:00-9:35"
    assert yard.do("Mon 9:30", "redo").startswith("Redone: finish of Saw (Hall bench), 9:00.")
    assert yard.do("Mon 9:30", "redo").startswith("Redone: start of Glue up the seat (Hall bench), 9:00.")
    assert yard.plan("Mon 9:30") == full
    assert "nothing was taken back since" in yard.refused("Mon 9:30", "redo")
    yard.do("Mon 9:30", "undo")
    yard.do("Mon 9:30", "again", "hall/saw")
    assert "nothing was taken back since" in yard.refused("Mon 9:30", "redo")
    assert [fact.kind for fact in yard.rows()] == [
        "start", "finish", "start", "undo", "undo", "redo", "redo", "undo", "again",
    ]  # fmt: skip


def test_a_redone_fact_can_be_undone_again(yard: Happening) -> None:
    yard.job("a", "saw 1h")
    yard.do("Mon 8:00", "start", "a/saw")
    yard.do("Mon 8:30", "pause", "a/saw")
    for _ in range(2):
        assert "putting down of Saw" in yard.do("Mon 8:40", "undo")
        assert yard.row("Mon 8:40", "a/saw")["put_down"] is False
        assert "putting down of Saw" in yard.do("Mon 8:40", "redo")
        assert yard.row("Mon 8:40", "a/saw")["put_down"] is True
    answer = yard.ask("Mon 8:40", "undo")["logged"]
    assert (answer["kind"], answer["of"]["kind"]) == ("undo", "pause")
    answer = yard.ask("Mon 8:40", "redo")["logged"]
    assert (answer["kind"], answer["of"]["address"]) == ("redo", "a/saw")


def test_every_row_is_in_the_table(yard: Happening) -> None:
    yard.job("a", "saw 1h", "sand 1h", top='status = "live"\n')
    yard.do("Mon 8:00", "start", "a/saw")
    yard.do("Mon 8:30", "pause", "a/saw")
    yard.do("Mon 8:30", "skip", "a/sand")
    yard.do("Mon 8:30", "undo")
    yard.do("Mon 8:30", "redo")
    yard.do("Mon 8:30", "undo")
    rows = yard.ask("Mon 9:00", "csv")["rows"]
    assert [(row["what"], row["counts"], row["status"]) for row in rows] == [
        ("start", "yes", "live"), ("pause", "yes", "live"), ("skip", "no", "live"),
        ("undo", "no", "live"), ("redo", "no", "live"), ("undo", "no", "live"),
    ]  # fmt: skip


# ---------------------------------------------------------------- jobs that are over


def test_nothing_can_follow_a_cancelled_job_and_anything_a_delivered_one(yard: Happening) -> None:
    yard.job("b", 'rout 1h | after = ["jig/make"]')
    yard.job("jig", "make 1h", top='title = "Routing jig"\nstatus = "cancelled"\n')
    plan = yard.plan("Mon 8:00")
    assert [row["job"] for row in plan["jobs"]] == ["b"]
    (lost,) = plan["unplaced"]
    assert lost["address"] == "b/rout"
    assert "the job jig is cancelled" in lost["why"]
    yard.job("jig", "make 1h", top='title = "Routing jig"\nstatus = "delivered"\n')
    assert yard.span("Mon 8:00", "b/rout") == "Mon 8:00-9:00"
    assert "jig is delivered" in yard.refused("Mon 8:00", "start", "jig/make")


@pytest.mark.parametrize(
    ("status", "said"), [("delivered", "It was delivered."), ("cancelled", "It was cancelled:")]
)
def test_the_note_of_a_job_that_is_over_says_so(yard: Happening, status: str, said: str) -> None:
    yard.job("a", "make 1h", top=f'title = "Routing jig"\nstatus = "{status}"\n')
    assert said in yard.do("Mon 8:00", "note", "a")
