"""Hypothesis strategy of small scheduling problems with everything in them: about three days, up to ten tasks."""

from __future__ import annotations

from hypothesis import strategies as st

from shopday.scheduler import (
    COMPLETE,
    END,
    START,
    Calendar,
    Crew,
    Delivery,
    Lag,
    Phase,
    Problem,
    RatedClock,
    Task,
    WeekdayClock,
    Window,
)

NOW = 2_000 * 1440
"""A minute far from zero, at midnight."""

DAYS = 14
MAKER, SECOND, HELPER, BENCH, CRAMPS = range(5)
ALWAYS, MAKERS, SECONDS, PAIR, NOISY, MORNINGS = range(6)


def day_spans(draw: st.DrawFn, first: int, last: int) -> list[tuple[int, int]]:
    """Hours of one person, with breaks and days off that repeat every third day."""
    opens, noon, lunch, closes = 480, 720, draw(st.sampled_from([0, 45])), draw(st.sampled_from([900, 1020]))
    off = draw(st.sampled_from([None, 1, 2]))
    out = []
    for day in range(first, last):
        if day % 3 != off:
            base = NOW + day * 1440
            out += [(base + opens, base + noon), (base + noon + lunch, base + closes)]
    return out


@st.composite
def problems(draw: st.DrawFn, tasks: int = 10, clocks: bool = True) -> Problem:
    """Any problem; some of its tasks may be impossible."""
    one, two = (Calendar.of(day_spans(draw, -3, DAYS)) for _ in range(2))
    noisy = Calendar.of([(NOW + d * 1440 + 540, NOW + d * 1440 + 960) for d in range(-3, DAYS)])
    mornings = Calendar.of([(NOW + d * 1440, NOW + d * 1440 + 720) for d in range(-3, DAYS)])
    edges = tuple(e for span in one.spans for e in span)
    rates = (0.5, *(0.5 if k % 2 else 1.25 for k in range(len(edges))))
    count = draw(st.integers(1, tasks))
    jobs = draw(st.integers(1, 3))
    made: list[Task] = []
    for i in range(count):
        made.append(_task(draw, i, made, draw(st.integers(0, jobs - 1)), clocks))
    return Problem(
        now=NOW + draw(st.sampled_from([0, 500, 700, 1010])),
        jobs=tuple(_job(draw, [task for task in made if task.job == k]) for k in range(jobs)),
        tasks=tuple(made),
        capacities=(1, 1, 1, draw(st.integers(1, 2)), draw(st.integers(3, 6))),
        calendars=(Calendar.always(), one, two, one & two, one & noisy, mornings),
        clocks=(RatedClock(edges, rates), WeekdayClock((), (0,))),
        release_calendar=MAKERS,
        dust_minutes=draw(st.sampled_from([0, 30])),
    )


def _job(draw: st.DrawFn, tasks: list[Task]) -> Delivery:
    due = draw(st.none() | st.integers(1, 6).map(lambda day: NOW + day * 1440))
    over = all(task.fixed is not None for task in tasks)
    reserve = draw(st.none() | st.sampled_from([0, 90, 600, 2000])) if due is not None else None
    safe_by = None if due is None or reserve is None else due - reserve
    return Delivery(weight=draw(st.integers(1, 3)), due=due, counts=not over, safe_by=safe_by)


def _task(draw: st.DrawFn, i: int, made: list[Task], job: int, clocks: bool) -> Task:
    before = draw(st.lists(st.sampled_from(range(i)), max_size=2, unique=True)) if i else []
    lags = tuple(_lag(draw, j, made[j]) for j in before)
    kind = draw(st.sampled_from(["work"] * 8 + ["starts_immediately", "given"]))
    if kind == "starts_immediately":
        return _eager(draw, job, lags, clocks)
    if kind == "given" and not before:
        return _given(draw, job)
    work = draw(st.sampled_from([0, 5, 20, 60, 200, 500]))
    windows, adds = _windows(draw, lags)
    return Task(
        job,
        work=work,
        crews=draw(st.sampled_from(CREWS)),
        uses=draw(st.sampled_from([(), ((BENCH, 1),), ((CRAMPS, 2),), ((BENCH, 1), (CRAMPS, 3))])),
        phases=draw(st.sampled_from(PHASES if clocks else PHASES[:-1])),
        lags=lags,
        windows=windows,
        adds=adds,
        release=draw(st.sampled_from([0, 0, 0, NOW + 1500])),
        at=draw(st.sampled_from([None] * 14 + [NOW + 4 * 1440 + 600])),
        unbroken=draw(st.booleans()) and work <= 180,
        stretch=min(work, draw(st.sampled_from([0, 25]))),
        starts_in=draw(st.sampled_from([None] * 5 + [MORNINGS])),
        room=draw(st.integers(0, 1)),
        dusty=draw(st.integers(0, 3)) == 0,
        needs_still_air=draw(st.integers(0, 5)) == 0,
    )


CREWS = [
    (Crew((MAKER,), MAKERS),),
    (Crew((MAKER,), MAKERS), Crew((SECOND,), SECONDS)),
    (Crew((MAKER, HELPER), PAIR), Crew((SECOND, HELPER), PAIR)),
    (Crew((MAKER,), NOISY),),
]
PHASES = [
    (),
    (),
    (Phase(60),),
    (Phase(90, keeps=(BENCH, CRAMPS)), Phase(700)),
    (Phase(30, keeps=(CRAMPS,)), Phase(20), Phase(300, keeps=(CRAMPS,), needs_still_air=True)),
    (Phase(240, needs_still_air=True), Phase(5000, informational=True), Phase(10)),
    (Phase(800, clock=0, keeps=(BENCH,)),),
]


def _lag(draw: st.DrawFn, j: int, other: Task) -> Lag:
    milestone = draw(st.sampled_from([COMPLETE, COMPLETE, END, START, *range(len(other.phases))]))
    return Lag(j, milestone, draw(st.sampled_from([0, 0, 0, 15])))


def _windows(draw: st.DrawFn, lags: tuple[Lag, ...]) -> tuple[tuple[Window, ...], int | None]:
    if not lags or draw(st.booleans()):
        return (), draw(st.sampled_from([None, 20]))
    within = draw(st.sampled_from([0, 10, 30, 400, 1440]))
    refs = lags if draw(st.booleans()) else lags[:1]
    return (Window(refs, within),), draw(st.sampled_from([None, None, 20]))


def _eager(draw: st.DrawFn, job: int, lags: tuple[Lag, ...], clocks: bool) -> Task:
    clock = draw(st.sampled_from([None, 1])) if clocks else None
    length = draw(st.integers(0, 2)) if clock else draw(st.sampled_from([0, 300, 2000]))
    until = draw(st.none() | st.just(NOW + 2 * 1440 + 480))
    return Task(job, crews=(), lags=lags, starts_immediately=True, length=length, clock=clock, until=until)


def _given(draw: st.DrawFn, job: int) -> Task:
    """Under way or over."""
    uses = draw(st.sampled_from([(), ((CRAMPS, 3),)]))
    phases = draw(st.sampled_from(PHASES[:4]))
    if draw(st.booleans()):
        return Task(job, work=100, crews=CREWS[0], uses=uses, phases=phases, going=True)
    return Task(job, work=40, crews=CREWS[0], uses=uses, phases=phases, fixed=(NOW - 400, NOW - 300))
