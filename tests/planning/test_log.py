"""What has happened changes the plan: under way, done, another pass, arrived, taken back."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_shops import later, open_shop, planned, row, said, start, steps

from shopday.planning.open_shop import OpenShop
from shopday.planning.plan import State
from shopday.shop.faults import ShopdayError

TWO = steps('a 2h | waits = [{ name = "dries", takes = "3h" }]', "b 1h")


def test_work_under_way_needs_only_the_rest(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, desk=TWO)
    shop.log("start", "desk/a")
    step = row(planned(later(shop, "2026-03-02T09:30")), "desk/a")
    assert (step.state, said(step.start), said(step.end)) == (State.UNDER_WAY, "Mon 08:00", "Mon 10:00")
    assert [(said(a), said(b)) for a, b in step.stretches] == [("Mon 08:00", "Mon 10:00")]
    assert step.people == ("maker",)


def test_breaks_do_not_count_as_work(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, now="2026-03-02T11:30", desk=TWO)
    shop.log("start", "desk/a")
    step = row(planned(later(shop, "2026-03-02T12:45")), "desk/a")
    # Half an hour before lunch is done, an hour and a half is left from 13:00.
    assert said(step.end) == "Mon 14:30"
    assert [said(a) for a, _ in step.stretches] == ["Mon 11:30", "Mon 13:00"]


def test_work_over_its_estimate_takes_five_minutes_more(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, desk=TWO)
    shop.log("start", "desk/a")
    assert said(row(planned(later(shop, "2026-03-02T11:00")), "desk/a").end) == "Mon 11:05"


def test_waits_count_from_the_logged_end(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, desk=TWO)
    shop.log("start", "desk/a")
    shop = later(shop, "2026-03-02T09:15")
    shop.log("finish", "desk/a")
    plan = planned(shop)
    step = row(plan, "desk/a")
    assert (step.state, said(step.end), said(step.complete)) == (State.WAITING, "Mon 09:15", "Mon 12:15")
    assert start(plan, "desk/b") == "Mon 13:00"
    assert row(planned(later(shop, "2026-03-02T12:15")), "desk/a").state is State.DONE


def test_a_finish_without_a_start_is_enough(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, now="2026-03-02T14:00", desk=TWO)
    shop.log("finish", "desk/a")
    step = row(planned(shop), "desk/a")
    # Two hours of work that ended at 14:00 would have begun at 11:00.
    assert (said(step.start), said(step.end)) == ("Mon 11:00", "Mon 14:00")


def test_a_running_wait_keeps_its_things(tmp_path: Path) -> None:
    bench = '[[stations]]\nid = "bench"\n'
    glue = steps(
        'glue 1h | stations = ["bench"]; waits = [{ name = "in clamps", takes = "6h", keeps = "all" }]'
    )
    shop = open_shop(
        tmp_path, now="2026-03-02T09:00", shop=bench, a=glue, b=steps('plane 1h | stations = ["bench"]')
    )
    shop.log("finish", "a/glue")
    assert start(planned(shop), "b/plane") == "Mon 15:00"


def test_another_pass_follows_the_last(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, now="2026-03-02T10:00", desk=TWO)
    shop.log("finish", "desk/a")
    shop.log("again", "desk/a")
    plan = planned(shop)
    assert (start(plan, "desk/a", 2), row(plan, "desk/a", 2).label) == ("Mon 13:00", "A (2 of 2)")
    assert start(plan, "desk/b") == "Tue 08:00"


def test_an_arrival_is_logged_and_undone(tmp_path: Path) -> None:
    job = steps("hinges | arrives = { on = 2026-03-06 }", "fit 1h")
    shop = open_shop(tmp_path, desk=job)
    assert start(planned(shop), "desk/fit") == "Fri 08:00"
    shop.log("arrived", "desk/hinges")
    assert start(planned(shop), "desk/fit") == "Mon 08:00"
    assert row(planned(shop), "desk/hinges").state is State.DONE
    assert shop.undo().kind == "arrived"
    assert start(planned(shop), "desk/fit") == "Fri 08:00"
    with pytest.raises(ShopdayError, match="nothing has been logged"):
        shop.undo()


def test_work_outside_counts_from_the_day_it_left(tmp_path: Path) -> None:
    job = steps('smith | away = { who = "smith", takes = "3d" }', "fit 1h")
    shop = open_shop(tmp_path, desk=job)
    shop.log("start", "desk/smith")
    step = row(planned(later(shop, "2026-03-04T10:00")), "desk/smith")
    assert (step.state, said(step.start), said(step.end), step.overdue) == (
        State.WAITING,
        "Mon 08:00",
        "Thu 08:00",
        False,
    )
    overdue = row(planned(later(shop, "2026-03-05T09:00")), "desk/smith")
    assert (overdue.overdue, said(overdue.end)) == (True, "Thu 13:00")


def test_a_delivered_job_counts_no_longer(tmp_path: Path) -> None:
    shop = open_shop(
        tmp_path, now="2026-03-04T10:00", desk="promise = 2026-03-02\n" + steps("a 1h"), chair=steps("a 1h")
    )
    shop.log("finish", "desk/a", shop.zone.moment(shop.minute() - 60))
    plan = planned(shop)
    assert (plan.late, plan.finish) == (0, 60)
    job = plan.job("desk")
    assert job is not None
    assert (job.delivered, job.late_minutes) == (True, 24 * 60 + 9 * 60)


def test_passes_are_logged_one_by_one(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, desk=steps("pour 1h | passes = 2"))
    assert [shop.log("finish", "desk/pour").pass_no for _ in range(2)] == [1, 2]
    with pytest.raises(ShopdayError, match=r"done already; log one more pass"):
        shop.log("finish", "desk/pour")


def test_an_early_start_is_logged_with_a_remark(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, desk=TWO)
    fact = shop.log("start", "desk/b", anyway=True)
    assert shop.remark(fact) == "Logged, but A is not finished yet in the journal."
    assert row(planned(shop), "desk/b").state is State.UNDER_WAY


def test_starts_are_divided_among_several_makers(tmp_path: Path) -> None:
    shop = open_shop(
        tmp_path, shop='[[people]]\nid = "ada"\n[[people]]\nid = "ben"\n', a=steps("x 1h"), b=steps("x 1h")
    )
    assert shop.log("start", "a/x").data == {"people": ["ada"]}
    assert shop.log("start", "b/x").data == {"people": ["ben"]}


def test_facts_after_now_do_not_count_yet(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, now="2026-03-02T12:00", desk=TWO)
    shop.log("finish", "desk/a")
    assert row(planned(later(shop, "2026-03-02T08:00")), "desk/a").state is State.PLANNED


LIVE = {
    "desk": TWO + steps("hinges | arrives = { on = 2026-03-06 }; after = []"),
    "quoted": 'status = "quote"\n' + TWO,
}


@pytest.mark.parametrize(
    ("kind", "address", "at", "words"),
    [
        ("start", "desk/aa", None, r"no step 'desk/aa'; did you mean desk/a\?"),
        ("start", "nothing like it", None, "write it as JOB/PART/STEP"),
        ("start", "desk/a", "2026-03-02T08:01", "8:01 is still to come"),
        ("start", "desk/hinges", None, "log it as arrived"),
        ("arrived", "desk/a", None, "log its start or finish"),
        ("again", "desk/a", None, "was not started yet"),
        ("again", "desk/hinges", None, "needs no hands"),
        ("start", "quoted/a", None, 'set its `status` to "live"'),
        ("burn", "desk/a", None, "there is start, pause, finish, skip, again, arrived"),
    ],
)
def test_an_impossible_fact_says_what_to_do(
    tmp_path: Path, kind: str, address: str, at: str | None, words: str
) -> None:
    shop = open_shop(tmp_path, **LIVE)
    moment = None if at is None else later(shop, at).now()
    with pytest.raises(ShopdayError, match=words):
        shop.log(kind, address, moment)
    assert shop.journal.facts() == []


def test_a_step_is_not_started_twice_nor_finished_before_its_start(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, desk=TWO)
    shop.log("start", "desk/a")
    with pytest.raises(ShopdayError, match="was started 8:00 already"):
        shop.log("start", "desk/a")
    with pytest.raises(ShopdayError, match="give a later time"):
        shop.log("finish", "desk/a", later(shop, "2026-03-02T07:00").now())


def test_two_programs_see_each_others_facts(tmp_path: Path) -> None:
    one = open_shop(tmp_path, desk=TWO)
    two = later(one, "2026-03-02T08:00")
    assert not two.refresh()
    one.log("finish", "desk/a")
    assert two.refresh()
    assert row(planned(two), "desk/a").state is State.WAITING
    (tmp_path / "jobs" / "desk.toml").write_text(TWO + steps("c 1h"), "utf-8")
    assert two.refresh()
    assert start(planned(two), "desk/c") == "Mon 13:00"


def test_a_file_that_becomes_faulty_keeps_what_was_read(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, desk=TWO)
    (tmp_path / "jobs" / "desk.toml").write_text("[[steps]\n", "utf-8")
    assert not shop.refresh()
    assert list(shop.folder.faulty) == ["desk"]
    assert start(planned(shop), "desk/a") == "Mon 08:00"
    (tmp_path / "shop.toml").write_text("[", "utf-8")
    with pytest.raises(ShopdayError):
        shop.refresh()
    assert start(planned(shop), "desk/a") == "Mon 08:00"


def test_a_folder_without_a_shop_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ShopdayError):
        OpenShop(tmp_path)


def test_a_pinned_step_goes_first_until_it_is_begun(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, desk=steps("a 1h"), shelf=steps("a 3h"))
    assert start(planned(shop), "shelf/a") == "Mon 09:00"
    shop.write("pin", "shelf/a", 1, shop.minute())
    assert start(planned(shop), "shelf/a") == "Mon 08:00"
    at_half_past = later(shop, "2026-03-02T08:30")
    assert start(planned(at_half_past), "shelf/a") == "Mon 08:30"
    at_half_past.log("start", "desk/a")
    at_half_past.write("unpin", "shelf/a", 1, at_half_past.minute())
    assert start(planned(at_half_past), "shelf/a") == "Mon 09:30"


def test_a_day_of_illness_is_closed(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, desk=steps("a 1h"))
    shop.journal.append("close-day", "", 1, shop.minute(), day="2026-03-02")
    assert start(planned(shop), "desk/a") == "Tue 08:00"
