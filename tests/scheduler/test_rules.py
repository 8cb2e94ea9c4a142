"""One tiny problem for each rule, with its optimum worked out by hand."""

from tiny import ALONE, BENCH, CRAMPS, MAKER, SECOND, SHOP, best, day, places, shop, starts, work

from shopday.scheduler import (
    END,
    START,
    Calendar,
    Cause,
    Crew,
    Delivery,
    Lag,
    Phase,
    RatedClock,
    Task,
    Window,
    spans_overlap,
)


def test_work_stops_at_a_break_and_resumes_after_it() -> None:
    # 300 minutes from 8:00: 240 until noon, 60 from 13:00.
    [it] = places(shop(work(300)))
    assert (it.start, it.end, it.complete) == (day(0, "8:00"), day(0, "14:00"), day(0, "14:00"))


def test_work_that_ends_at_closing_ends_then_and_not_the_next_morning() -> None:
    [it] = places(shop(work(480)))
    assert it.end == day(0, "17:00")


def test_the_minute_of_closing_is_not_open() -> None:
    # The first fills the morning exactly; the second cannot start at noon.
    problem = shop(work(240), work(10, lags=(Lag(0),)))
    assert starts(problem) == [day(0, "8:00"), day(0, "13:00")]


def test_a_phase_runs_through_the_night_and_delays_successors() -> None:
    # Glue until 8:30, 26 hours on: 10:30 of the second day.
    problem = shop(work(30, phases=(Phase(26 * 60),)), work(10, lags=(Lag(0),)))
    assert starts(problem) == [day(0, "8:00"), day(1, "10:30")]


def test_phases_follow_one_another_and_a_lag_may_name_one() -> None:
    # In cramps until 9:30, hard at 11:30: the one may start after cramps, the other when hard.
    glue = work(30, phases=(Phase(60), Phase(120)))
    problem = shop(glue, work(10, lags=(Lag(0, 0),)), work(10, lags=(Lag(0),)))
    assert starts(problem) == [day(0, "8:00"), day(0, "9:30"), day(0, "11:30")]


def test_an_informational_phase_delays_nothing() -> None:
    glue = work(30, phases=(Phase(60), Phase(9000, informational=True), Phase(30)))
    [it, then] = places(shop(glue, work(10, lags=(Lag(0),))))
    assert it.ends == (day(0, "9:30"), day(0, "9:30") + 9000, day(0, "10:00"))
    assert then.start == it.complete == day(0, "10:00")


def test_lags_count_from_start_or_end_with_offsets() -> None:
    # Two makers: the second starts 20 after the first, the third 5 after its end (9:00).
    both = (Crew((MAKER,), 1), Crew((SECOND,), 1))
    first = work(60, phases=(Phase(600),))
    second = work(10, crews=(Crew((SECOND,), 1),), lags=(Lag(0, START, 20),))
    problem = shop(first, second, work(10, crews=both, lags=(Lag(0, END, 5),)))
    assert starts(problem) == [day(0, "8:00"), day(0, "8:20"), day(0, "9:05")]


def test_nobody_works_on_two_things() -> None:
    # Weights 1 and 3, an hour each: the heavy one first.
    problem = shop(work(60, 0), work(60, 1), jobs=(Delivery(1), Delivery(3)))
    result = best(problem)
    assert (result.late, result.finish) == (0, 1 * 120 + 3 * 60)
    assert result.optimal is (result.finish_bound == 300)


def test_two_makers_work_at_once() -> None:
    both = (Crew((MAKER,), 1), Crew((SECOND,), 1))
    assert best(shop(work(60, 0, crews=both), work(60, 1, crews=both))).finish == 60 + 60


def test_two_people_work_while_both_are_in() -> None:
    # The helper comes 10:00-12:00 and 14:00-15:00: 150 minutes from 10:00 end at 14:30.
    helper = Calendar.of([(600, 720), (840, 900)])
    pair = Calendar(spans_overlap(SHOP.spans, helper.spans))
    task = work(150, crews=(Crew((MAKER, SECOND), 2),))
    [it] = places(shop(task, calendars=(Calendar.always(), SHOP, pair)))
    assert (it.start, it.end) == (day(0, "10:00"), day(0, "14:30"))


def test_the_crew_that_is_done_first_is_chosen() -> None:
    # The maker is in from 13:00 that day, the second from 8:00.
    late = Calendar.of([(780, 1020)])
    task = work(60, crews=(Crew((MAKER,), 2), Crew((SECOND,), 1)))
    [it] = places(shop(task, calendars=(Calendar.always(), SHOP, late)))
    assert (it.crew, it.start) == (1, day(0, "8:00"))


def test_unbroken_work_waits_for_a_stretch_that_holds_it() -> None:
    # 180 minutes do not fit between 9:30 and noon; 13:00 does.
    [it] = places(shop(work(180, unbroken=True, release=570)))
    assert (it.start, it.end) == (day(0, "13:00"), day(0, "16:00"))


def test_work_does_not_start_just_before_a_break() -> None:
    # 30 minutes must be left: 11:30 is the last start of the morning.
    assert starts(shop(work(200, stretch=30, release=690))) == [day(0, "11:30")]
    assert starts(shop(work(200, stretch=30, release=691))) == [day(0, "13:00")]


def test_work_starts_only_in_its_minutes_and_may_go_on_outside_them() -> None:
    warm = Calendar.of([(600, 610)])
    [it] = places(shop(work(60, starts_in=2), calendars=(Calendar.always(), SHOP, warm)))
    assert (it.start, it.end) == (day(0, "10:00"), day(0, "11:00"))


def test_no_task_starts_before_its_release_or_now() -> None:
    assert starts(shop(work(10), now=555)) == [555]
    assert starts(shop(work(10, release=day(1, "0:00")))) == [day(1, "8:00")]


def test_an_appointment_starts_at_its_minute_and_others_make_room() -> None:
    # The 90 minutes would end 9:30; 9:00 is promised to somebody.
    problem = shop(work(90, unbroken=True), work(30, 1, at=day(0, "9:00")))
    assert starts(problem) == [day(0, "9:30"), day(0, "9:00")]


def test_an_appointment_before_its_predecessors_can_end_has_no_place() -> None:
    result = best(shop(work(90), work(30, lags=(Lag(0),), at=day(0, "9:00"))))
    assert list(result.schedule.unplaced) == [1]
    assert result.schedule.unplaced[1].cause is Cause.APPOINTMENT


def test_one_bench_takes_one_piece_at_a_time() -> None:
    task = {"uses": ((BENCH, 1),), "crews": (Crew((MAKER,), 1), Crew((SECOND,), 1))}
    assert best(shop(work(60, 0, **task), work(60, 1, **task))).finish == 60 + 120


def test_counted_gear_is_never_over_its_count() -> None:
    # Four cramps: 3 and 2 do not go together, 2 and 2 do.
    two = (Crew((MAKER,), 1), Crew((SECOND,), 1))
    assert (
        best(shop(*(work(60, k, uses=((CRAMPS, n),), crews=two) for k, n in enumerate((3, 2))))).finish == 180
    )
    assert best(shop(*(work(60, k, uses=((CRAMPS, 2),), crews=two) for k in range(2)))).finish == 120


def test_kept_things_are_freed_once_somebody_is_in() -> None:
    # In cramps until 12:30, nobody in before 13:00.
    glue = work(30, 0, uses=((CRAMPS, 4),), phases=(Phase(240, keeps=(CRAMPS,)),))
    problem = shop(glue, work(10, 1, uses=((CRAMPS, 1),), lags=(Lag(0, END),)))
    placed = places(problem)
    assert placed[0].frees == (day(0, "13:00"),)
    assert placed[1].start == day(0, "13:00")


def test_things_kept_until_closing_are_freed_the_next_morning() -> None:
    # 8:00 + 30 + 510 = 17:00.
    glue = work(30, uses=((CRAMPS, 4),), phases=(Phase(510, keeps=(CRAMPS,)),))
    [it] = places(shop(glue))
    assert (it.ends, it.frees) == ((day(0, "17:00"),), (day(1, "8:00"),))


def test_a_thing_kept_by_two_phases_that_overlap_counts_once() -> None:
    # Three of four cramps, kept until 12:30 (free at 13:00) and again from 12:30: never six.
    phases = (Phase(240, keeps=(CRAMPS,)), Phase(60, keeps=(CRAMPS,)))
    [it] = places(shop(work(30, uses=((CRAMPS, 3),), phases=phases)))
    assert it.frees == (day(0, "13:00"), day(0, "13:30"))


def test_dust_waits_for_still_air_in_its_room_only() -> None:
    # Varnish until 8:30 and two hours of still air: sawing from 10:30, in another room at 8:30.
    varnish = work(30, 0, phases=(Phase(120, needs_still_air=True),), release=480)
    after = (Lag(0, END),)
    assert starts(shop(varnish, work(60, dusty=True, lags=after)))[1] == day(0, "10:30")
    assert starts(shop(varnish, work(60, dusty=True, room=1, lags=after)))[1] == day(0, "8:30")


def test_still_air_waits_until_the_dust_has_settled() -> None:
    # Sawn at 9:00; the dust hangs 45 minutes.
    problem = shop(work(60, dusty=True), work(10, needs_still_air=True, lags=(Lag(0),)), dust_minutes=45)
    assert starts(problem) == [day(0, "8:00"), day(0, "9:45")]


def test_work_whose_own_dust_spoils_its_still_air_has_no_place() -> None:
    task = work(10, dusty=True, phases=(Phase(60, needs_still_air=True),))
    result = best(shop(task, work(20, 1), dust_minutes=30))
    assert result.schedule.unplaced[0].cause is Cause.DUST
    assert result.schedule.placed[1] is not None


def test_a_hard_window_moves_what_comes_before_it() -> None:
    # Oil from 11:00 is ready at 11:25, and an hour of buffing without a break does not end before noon. Any later
    # oil of the morning is ready at lunch at best; from 13:00 it is ready at 13:25.
    oil = work(10, unbroken=True, phases=(Phase(15),), release=day(0, "11:00"))
    buff = work(60, unbroken=True, lags=(Lag(0),), windows=(Window((Lag(0),), 10),))
    assert starts(shop(oil, buff)) == [day(0, "13:00"), day(0, "13:25")]


def test_work_interrupted_by_lunch_may_keep_a_window() -> None:
    # As before, but the oiling may be interrupted: nine minutes before noon and one at 13:00, ready at 13:16.
    oil = work(10, phases=(Phase(15),), release=day(0, "11:00"))
    buff = work(60, unbroken=True, lags=(Lag(0),), windows=(Window((Lag(0),), 10),))
    assert starts(shop(oil, buff)) == [day(0, "11:51"), day(0, "13:16")]


def test_a_chain_of_windows_of_minutes_is_placed_as_one_run() -> None:
    # Three sittings of 80 minutes, each within 0 of the one before: 240 just fit the morning. From 8:01 they do not,
    # and in the afternoon they do again.
    def chain(release: int) -> list[int]:
        tasks = [work(80, unbroken=True, release=release)]
        for k in range(2):
            tasks.append(work(80, unbroken=True, lags=(Lag(k),), windows=(Window((Lag(k),), 0),)))
        return starts(shop(*tasks))

    assert chain(480) == [480, 560, 640]
    assert chain(481) == [780, 860, 940]


def test_a_window_counts_from_the_latest_of_its_moments() -> None:
    # Two others end at 9:00 and 10:00; within 0 of the later.
    two = [work(60, crews=(Crew((MAKER,), 1),)), work(120, crews=(Crew((SECOND,), 1),))]
    refs = (Lag(0), Lag(1))
    assert starts(shop(*two, work(30, lags=refs, windows=(Window(refs, 0),))))[2] == day(0, "10:00")


def test_a_window_that_may_be_missed_adds_work_once_when_it_is() -> None:
    # The first is bound to 8:00, the second to 10:00, an hour after it is over; the window is 30 minutes.
    def second(within: int) -> Task:
        windows = (Window((Lag(0),), within), Window((Lag(0, START),), within + 60))
        return work(20, lags=(Lag(0),), windows=windows, adds=15, release=600)

    late, kept = (places(shop(work(60, at=480), second(within)))[1] for within in (30, 60))
    assert (late.missed, late.end) == (True, day(0, "10:35"))
    assert (kept.missed, kept.end) == (False, day(0, "10:20"))


def test_a_missed_window_makes_unbroken_work_longer_too() -> None:
    # 40 minutes at 11:10 would fit before noon, 60 do not.
    task = work(40, lags=(Lag(0),), windows=(Window((Lag(0),), 60),), adds=20, unbroken=True, release=670)
    it = places(shop(work(60, at=480), task))[1]
    assert (it.start, it.end, it.missed) == (day(0, "13:00"), day(0, "14:00"), True)


def test_an_impossible_hard_window_is_refused_and_the_rest_is_placed() -> None:
    # Buffing takes 300 minutes in one sitting; no stretch is longer than 240.
    buff = work(300, unbroken=True, lags=(Lag(0),), windows=(Window((Lag(0),), 10),))
    result = best(shop(work(10), buff, work(10, lags=(Lag(1),)), work(25, 1)))
    causes = {i: refusal.cause for i, refusal in result.schedule.unplaced.items() if i != 0}
    assert causes == {1: Cause.STRETCH, 2: Cause.NEEDS}
    assert result.finish == 25 + (
        10 if result.schedule.placed[0] and result.schedule.placed[0].start == 480 else 0
    )


def test_work_away_starts_at_once_and_ends_at_any_hour() -> None:
    # Off at 8:30; 1,000 minutes later it is 1:10 of the second day; one that is expected at 9:00 then ends at 9:00.
    away = Task(0, crews=(), starts_immediately=True, length=1000, lags=(Lag(0),))
    arrives = Task(0, crews=(), starts_immediately=True, lags=(Lag(1),), until=day(1, "9:00"))
    _, out, back = places(shop(work(30), away, arrives))
    assert (out.start, out.end) == (day(0, "8:30"), day(1, "1:10"))
    assert (back.start, back.end) == (day(1, "1:10"), day(1, "9:00"))


def test_work_away_leaves_on_saturday_though_monday_would_do() -> None:
    # Released at 3:00 in the night: nobody has to be there.
    assert starts(shop(Task(0, crews=(), starts_immediately=True, length=5, release=day(3, "3:00")))) == [
        day(3, "3:00")
    ]


def test_a_clock_that_runs_at_half_speed_takes_twice_as_long() -> None:
    # From 8:30, full speed for 30 minutes, then half: 90 units are over after 30 + 120 minutes.
    clock = RatedClock((540,), (1.0, 0.5))
    [it] = places(shop(work(30, phases=(Phase(90, clock=0),)), clocks=(clock,)))
    assert it.complete == day(0, "11:00")


def test_a_task_under_way_goes_on_first_even_if_others_weigh_more() -> None:
    problem = shop(work(60, 0), work(60, 1, going=True), jobs=(Delivery(9), Delivery(1)))
    assert starts(problem) == [day(0, "9:00"), day(0, "8:00")]


def test_a_finished_task_stays_as_logged_and_its_phases_run_on() -> None:
    # Glued yesterday until 16:00 (minute -480): 20 hours end at noon today.
    done = work(30, uses=((CRAMPS, 4),), phases=(Phase(1200, keeps=(CRAMPS,)),), fixed=(-510, -480))
    placed = places(shop(done, work(10, 1, uses=((CRAMPS, 1),)), work(10, lags=(Lag(0),))))
    assert (placed[0].start, placed[0].complete, placed[0].frees) == (-510, 720, (780,))
    assert {placed[1].start, placed[2].start} == {780, 790}


def test_a_task_that_needs_more_than_there_is_has_no_place() -> None:
    result = best(shop(work(10, uses=((CRAMPS, 5),)), work(10, 1)))
    assert result.schedule.unplaced[0].cause is Cause.CAPACITY


def test_a_crew_that_never_works_has_no_place() -> None:
    result = best(
        shop(work(10, crews=(Crew((MAKER,), 2),)), calendars=(Calendar.always(), SHOP, Calendar(())))
    )
    assert list(result.schedule.unplaced) == [0]


def test_impossible_tasks_are_refused_with_their_successors() -> None:
    result = best(shop(work(10), work(10, lags=(Lag(0),)), work(10, 1), infeasible={0: "word"}))
    assert {i: r.cause for i, r in result.schedule.unplaced.items()} == {0: Cause.OUTSIDE, 1: Cause.NEEDS}
    assert (result.late, result.finish) == (0, 10)


def test_lateness_comes_before_the_finish_total() -> None:
    # Short first would finish sooner in total (30 + 150 under 120 + 150), but the long one is due at 10:00.
    problem = shop(work(30, 0), work(120, 1), jobs=(Delivery(), Delivery(due=600)))
    result = best(problem)
    assert (result.late, result.finish) == (0, 150 + 120)


def test_delivered_jobs_do_not_count() -> None:
    done = Task(0, work=5, crews=ALONE, fixed=(100, 110))
    result = best(shop(done, work(20, 1), jobs=(Delivery(counts=False, due=0), Delivery())))
    assert (result.late, result.finish) == (0, 20)


def test_a_proven_optimum_says_so() -> None:
    result = best(shop(work(30, phases=(Phase(60),)), work(10, lags=(Lag(0),)), jobs=(Delivery(due=500),)))
    # Work until 8:30, 9:30 hard, over at 9:40 (580): 80 late, 100 from now.
    assert (result.late, result.finish) == (80, 100) == (result.late_bound, result.finish_bound)
    assert result.status == "optimal"
    assert result.floors == (580,)


def test_two_appointments_that_contradict_do_not_both_stand() -> None:
    # The second is promised for an hour before the first, though it waits for it.
    result = best(shop(work(10, at=600), work(10, lags=(Lag(0),), at=540)))
    assert result.schedule.unplaced[1].cause is Cause.APPOINTMENT


def test_an_appointment_outlasted_by_a_task_under_way_has_no_place() -> None:
    result = best(shop(work(120, going=True), work(10, lags=(Lag(0),), at=540)))
    assert list(result.schedule.unplaced) == [1]


def test_an_appointment_outside_its_hard_window_has_no_place() -> None:
    # Back at 8:00; the appointment is at 10:00 and the window half an hour.
    back = Task(0, crews=(), starts_immediately=True)
    result = best(shop(back, work(10, lags=(Lag(0),), windows=(Window((Lag(0),), 30),), at=600)))
    assert list(result.schedule.unplaced) == [1]
