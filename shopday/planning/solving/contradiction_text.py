"""Explains windows and appointments that contradict each other: the chain in plain words, and what to change."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from shopday.planning.encoding.encoded_problem import EncodedProblem
from shopday.planning.encoding.passes import Pass
from shopday.planning.step_names import full_name, of_job
from shopday.scheduler import (
    COMPLETE,
    END,
    START,
    Cause,
    Chain,
    ConstraintSource,
    Schedule,
    TimeConstraint,
    contradiction,
)
from shopday.text.durations import length_text
from shopday.text.names import pass_label
from shopday.text.sentences import both
from shopday.text.times import moment_text

ChainLink = tuple[TimeConstraint, int | None]
"""A constraint of a chain and its minutes."""

Namer = Callable[[Pass], str]

TIMED = (Cause.WINDOW, Cause.APPOINTMENT, Cause.HORIZON)
"""Causes of refusal that a contradiction may explain."""

CHANGEABLE = (ConstraintSource.WINDOW, ConstraintSource.APPOINTMENT)
"""Constraints that a person can change. One appointment alone is no contradiction; it is too soon."""


def contradicts(built: EncodedProblem, schedule: Schedule, task: int) -> str | None:
    """Which windows and appointments leave this task no place, in words; None if that is not proven."""
    if task not in built.contradictions:
        left_out = {i for i in schedule.unplaced if _root(schedule, i) not in TIMED}
        chains = contradiction(built.problem, task, left_out)
        tied = {rule.task for chain in chains for rule in chain.rules}
        built.contradictions.update(dict.fromkeys((task, *tied), _told(built, chains)))
    return built.contradictions[task]


def _told(built: EncodedProblem, chains: tuple[Chain, ...]) -> str | None:
    changed = {(rule.task, rule.why) for chain in chains for rule in chain.rules if rule.why in CHANGEABLE}
    if len(changed) < 2 and ConstraintSource.WINDOW not in {why for _, why in changed}:
        return None
    name = _namer(built, chains)
    told = dict.fromkeys(said for chain in chains for said in _clauses(built, chain, name))
    changes = dict.fromkeys(change for chain in chains for change in _changes(built, chain, name))
    return f"these cannot all be: {'; '.join(told)}. {_so(built, chains)}; {', or '.join(changes)}"


def _root(schedule: Schedule, task: int) -> Cause:
    """Why a task has no place: its own cause, or that of the first task without a place that it waits for."""
    seen = set()
    while task not in seen and schedule.unplaced[task].cause is Cause.NEEDS:
        seen.add(task)
        other = schedule.unplaced[task].other
        task = task if other is None or other not in schedule.unplaced else other
    return schedule.unplaced[task].cause


def _so(built: EncodedProblem, chains: tuple[Chain, ...]) -> str:
    excesses = [chain.excess for chain in chains]
    if None in excesses:
        return f"With these hours no day of the next {built.days} suits them all"
    least = length_text(min(excess for excess in excesses if excess is not None))
    return f"That is {least} too long" if len(chains) == 1 else f"Either way it is at least {least} too long"


# ------------------------------------------------------------ the chain


def _clauses(built: EncodedProblem, chain: Chain, name: Namer) -> Iterator[str]:
    """One clause per constraint; consecutive lags make one clause."""
    links = _from_a_window(list(zip(chain.rules, chain.gaps, strict=True)))
    before = links[-1][0]
    while links:
        run = _run(links)
        if run[0][0].why is ConstraintSource.LAG:
            timed = chain.excess is not None and before.most
            yield _lags(built, run, before.milestone if timed else START, name)
        else:
            yield _clause(built, run[0][0], name)
        before = run[-1][0]
        del links[: len(run)]


def _run(links: list[ChainLink]) -> list[ChainLink]:
    """The first constraint; if it is a lag, with the lags that continue it."""
    run = links[:1]
    for link in links[1:]:
        last = run[-1][0]
        if not (last.why is link[0].why is ConstraintSource.LAG and last.pushed == link[0].pusher):
            break
        run.append(link)
    return run


def _from_a_window(links: list[ChainLink]) -> list[ChainLink]:
    """Rotate the circle so that no run of lags is cut in two."""
    cut = next((k for k, (rule, _) in enumerate(links) if rule.why is not ConstraintSource.LAG), 0)
    return [*links[cut:], *links[:cut]]


def _lags(built: EncodedProblem, run: list[ChainLink], milestone: int, name: Namer) -> str:
    """The clause for consecutive lags, from a milestone of the first task."""
    first, last = run[0][0].pusher, run[-1][0].pushed
    assert first is not None
    assert last is not None
    least = sum(gap or 0 for _, gap in run)
    between = [name(built.passes[rule.task]) for rule, _ in run[:-1]]
    via = f", with {both(between)} in between" if between else ""
    it, other = name(built.passes[last]), _moment(built.passes[first], milestone, name)
    return (
        f"{it} starts at least {length_text(least)} after {other}{via}"
        if least
        else f"{it} comes after {other}{via}"
    )


def _clause(built: EncodedProblem, rule: TimeConstraint, name: Namer) -> str:
    p = built.passes[rule.task]
    it = name(p)
    now = built.zone.moment(built.problem.now)
    other = None if rule.other is None else built.passes[rule.other]
    match rule.why:
        case ConstraintSource.WINDOW if other is not None:
            return f"{it} must start within {length_text(rule.minutes)} of {_moment(other, rule.milestone, name)}"
        case ConstraintSource.EAGER if other is not None:
            return f"{it} follows the minute {name(other)} is over"
        case ConstraintSource.APPOINTMENT:
            return f"{it} starts {moment_text(built.zone.moment(rule.minutes), now)}"
        case ConstraintSource.OVER:
            return f"{it} was done {moment_text(built.zone.moment(rule.minutes), now)}"
        case ConstraintSource.APART if other is not None and rule.resource is None:
            return f"{it} is dusty and {name(other)} wants still air"
        case ConstraintSource.APART if other is not None and rule.resource is not None:
            both_want = both(sorted((it, name(other))))
            return f"{both_want} both take `{built.resources[rule.resource]}`"
    return f"{it} cannot start before {moment_text(built.zone.moment(rule.minutes), now)}"


def _moment(p: Pass, milestone: int, name: Namer) -> str:
    match milestone:
        case m if m == START:
            return f"the start of {name(p)}"
        case m if m == END:
            return f"the end of the work on {name(p)}"
        case m if m == COMPLETE:
            return name(p)
    return f"the end of {p.waits[milestone].name} of {name(p)}"


def _namer(built: EncodedProblem, chains: tuple[Chain, ...]) -> Namer:
    """Names passes, with their part or job if the chains go through several."""
    refs = [built.passes[rule.task].ref for chain in chains for rule in chain.rules]
    one_job, one_part = len({ref.job for ref in refs}) == 1, len({(ref.job, ref.part) for ref in refs}) == 1

    def name(p: Pass) -> str:
        told = of_job(built.folder, p.ref, p.ref.job) if one_job else full_name(built.folder, p.ref)
        return pass_label(p.ref.step.label if one_part else told, p.pass_no, p.passes)

    return name


# ------------------------------------------------------------ what to change


def _changes(built: EncodedProblem, chain: Chain, name: Namer) -> Iterator[str]:
    for rule in chain.rules:
        p = built.passes[rule.task]
        if rule.why is ConstraintSource.WINDOW:
            yield f"widen `{'within' if p.pass_no == 1 else 'next_pass.within'}` of {name(p)} or let it be `missed`"
        elif rule.why is ConstraintSource.APPOINTMENT:
            yield f"move `on` of {name(p)}"
    if chain.excess is None:
        yield "change the hours"
