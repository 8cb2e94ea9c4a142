"""Why a step cannot be planned, as a sentence that names what to change."""

from __future__ import annotations

from shopday.planning.encoding.encoded_problem import EncodedProblem
from shopday.planning.encoding.passes import Pass
from shopday.planning.plan import Unplaced
from shopday.planning.step_names import full_name
from shopday.scheduler import Calendar, Cause, Refusal, Schedule
from shopday.text.durations import length_text
from shopday.text.sentences import both, sentence
from shopday.text.times import moment_text


def unplaced(built: EncodedProblem, schedule: Schedule) -> tuple[Unplaced, ...]:
    """Every job left out, with the first fault of its file, and every step without a place once, with the reason of
    its first such pass."""
    rows = {id: Unplaced(id, str(faults[0])) for id, faults in built.folder.left_out.items()}
    for task in sorted(schedule.unplaced):
        address = built.passes[task].address
        if address not in rows:
            why, waits = _why(built, schedule, task), schedule.unplaced[task].cause is Cause.NEEDS
            name = _named(built, task)
            rows[address] = Unplaced(address, sentence(why), name, waits)
    return tuple(rows.values())


def _why(built: EncodedProblem, schedule: Schedule, task: int) -> str:
    from shopday.planning.solving.contradiction_text import TIMED, contradicts

    refusal, p = schedule.unplaced[task], built.passes[task]
    if refusal.cause in TIMED:
        proven = contradicts(built, schedule, task)
        if proven is not None:
            return proven
    match refusal.cause:
        case Cause.OUTSIDE:
            return built.reasons.get(task, "it can never be done")
        case Cause.NEEDS:
            return _needs(built, schedule, task)
        case Cause.CAPACITY:
            return _capacity(built, task, refusal)
        case Cause.STRETCH:
            return _stretch(built, task)
        case Cause.NOBODY:
            return _nobody(built, p)
        case Cause.WINDOW:
            return _window(built, task, refusal)
        case Cause.APPOINTMENT:
            return _appointment(built, task, refusal)
        case Cause.DUST:
            return (
                "it is dusty and wants still air in its own room at the same time; set `dusty = false`, "
                "take out `still_air`, or put it in another `room`"
            )
    return (
        f"no time for it is left in the next {built.days} days; give more `hours`, shorten `closed`, "
        "or take work out of the plan"
    )


def _named(built: EncodedProblem, task: int) -> str:
    return full_name(built.folder, built.passes[task].ref)


def _needs(built: EncodedProblem, schedule: Schedule, task: int) -> str:
    """Name the step at the root, so that there is one thing to put right."""
    seen = {task}
    root = task
    while (
        (refusal := schedule.unplaced.get(root))
        and refusal.cause is Cause.NEEDS
        and refusal.other is not None
    ):
        root = refusal.other
        if root in seen:
            break
        seen.add(root)
    return f"it waits for {_named(built, root)}, which cannot be planned"


def _capacity(built: EncodedProblem, task: int, refusal: Refusal) -> str:
    resource = refusal.limit or 0
    name, count = built.resources[resource], built.problem.capacities[resource]
    wanted = next((n for r, n in built.problem.tasks[task].uses if r == resource), 0)
    return (
        f"it asks for {wanted} of `{name}` and the shop has {count}; "
        f"ask for fewer, or raise `count` of `{name}` in shop.toml"
    )


def _stretch(built: EncodedProblem, task: int) -> str:
    crews = [built.problem.calendars[crew.calendar] for crew in built.problem.tasks[task].crews]
    longest = max((b - a for calendar in crews for a, b in calendar.spans), default=0)
    return (
        f"it takes {length_text(built.problem.tasks[task].work)} in one sitting and the longest stretch in which it can be "
        f"done is {length_text(longest)}; shorten `hands_on`, take out `one_sitting`, or lengthen the hours"
    )


def _nobody(built: EncodedProblem, p: Pass) -> str:
    shop, step = built.folder.shop, p.step
    if not any(person.role == "maker" for person in shop.people):
        return 'nobody in the shop can lead it; give one of the people the role "maker"'
    if step.hands > len(shop.people):
        return "it needs two people and the shop has one; set `hands = 1` or add one of the [[people]] to shop.toml"
    in_at_all = _open(built, p, noisy=False, only=False)
    if not _ahead(built, in_at_all):
        who = (
            "a maker and somebody to help are never in together" if step.hands == 2 else "no maker is ever in"
        )
        return f"{who}; give them `hours` that allow it"
    if p.noisy and not _ahead(built, _open(built, p, noisy=True, only=False)):
        return (
            "it is noisy and nobody is in while noise is allowed; change `noise` under [rules], or the hours"
        )
    if step.only is not None and not _ahead(built, _open(built, p, noisy=p.noisy, only=True)):
        return f"nobody is in when its `only` allows it ({both(step.only.days)}); change `only`, or the hours"
    if p.material is not None and p.material.lowest is not None and built.warmth is not None:
        return (
            f"the shop is never warm enough for {p.material.id} while somebody is in (it needs {p.material.lowest:g} C); "
            "raise [temperature], or take another `material`"
        )
    return (
        "no stretch in which it can be done is long enough to begin it; "
        "lower `shortest_stretch`, shorten `hands_on`, or lengthen the hours"
    )


def _open(built: EncodedProblem, p: Pass, noisy: bool, only: bool) -> list[Calendar]:
    """The calendars of the crews that could do it, with the rules on noise and on `only` applied as asked."""
    teams = {
        tuple(built.people[r] for r in crew.people) for crew in built.problem.tasks[built.index[p.key]].crews
    }
    indices = [built.hours.crew(team, noisy, p.step.only if only else None) for team in sorted(teams)]
    return [built.hours.calendars[i] for i in indices]


def _ahead(built: EncodedProblem, calendars: list[Calendar]) -> bool:
    return any(calendar.open_from(built.problem.now) is not None for calendar in calendars)


def _window(built: EncodedProblem, task: int, refusal: Refusal) -> str:
    problem, p = built.problem.tasks[task], built.passes[task]
    field = "within" if p.pass_no == 1 else "next_pass.within"
    shortest = min((w.within for w in problem.windows), default=None)
    if shortest is None:
        other = _named(built, refusal.other) if refusal.other is not None else "what follows it"
        return (
            f"it cannot be timed so that {other} keeps its `within`; widen that window, or let it be `missed`"
        )
    names = [_named(built, ref.task) for w in problem.windows for ref in w.refs]
    return (
        f"it must start within {length_text(shortest)} of {both(dict.fromkeys(names))}, and no time for both can be found; "
        f"widen `{field}`, let it be `missed`, or change the hours"
    )


def _appointment(built: EncodedProblem, task: int, refusal: Refusal) -> str:
    at = built.problem.tasks[task].at
    now = built.zone.moment(built.problem.now)
    if at is None:
        return "an appointment after it cannot be kept; move that step's `on`"
    said = moment_text(built.zone.moment(at), now)
    if at < built.problem.now:
        return f"its appointment, {said}, is past; move `on`, or log when it was done"
    if refusal.other is not None:
        other = _named(built, refusal.other)
        return f"its appointment is {said}, and {other} cannot be over by then; move `on`, or let that be done sooner"
    if refusal.limit is not None and refusal.limit > at:
        ready = moment_text(built.zone.moment(refusal.limit), now)
        return f"what it waits for is over {ready}, after its appointment, {said}; move `on`, or its `after`"
    return f"nobody can start it at its appointment, {said}, or what it needs is taken; move `on`, or change the hours"
