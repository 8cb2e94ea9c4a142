"""What was worked on jobs that are no longer planned: delivered, shelved, cancelled or made a quote again."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from shopday.planning.encoding.actual_times import hours_so_far
from shopday.planning.encoding.passes import Pass, passes_of
from shopday.planning.encoding.work_intervals import spans_worked
from shopday.planning.plan import PlannedStep, State
from shopday.planning.step_names import place

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop


def gone_work(open_shop: OpenShop) -> tuple[PlannedStep, ...]:
    """Every pass of such jobs that was worked on, as it was logged."""
    folder, state = open_shop.folder, open_shop.state()
    jobs = {address.split("/")[0] for address, _ in state.passes}
    gone = {id: folder.jobs[id] for id in jobs if id in folder.jobs and folder.jobs[id].status != "live"}
    if not gone:
        return ()
    every = passes_of(replace(folder, jobs=gone).all_live(), open_shop.expansion, state)
    return tuple(_steps(open_shop, tuple(p for p in every if p.begun or p.unclocked)))


def _steps(open_shop: OpenShop, passes: tuple[Pass, ...]) -> Iterator[PlannedStep]:
    now, moment = open_shop.minute(), open_shop.zone.moment
    hours = hours_so_far(open_shop.folder.shop, passes, now)
    usual = hours.calendars[hours.open]
    for p in passes:
        assert p.log is not None
        spans = [*spans_worked(hours, p, now, usual)] or [
            (start, end or start) for start, end, *_ in p.log.worked(now)
        ]
        over = p.log.finished or spans[-1][1]
        yield PlannedStep(
            p.ref.job, p.ref.part, p.step.id, p.pass_no, p.passes, p.step.label, State.DONE,
            moment(over if p.log.started is None else p.log.started), moment(over), moment(over),
            tuple((moment(start), moment(end)) for start, end in spans), p.log.people,
            work=p.base, skipped=p.skipped, unclocked=p.unclocked, place=place(open_shop.folder, p.ref),
        )  # fmt: skip
