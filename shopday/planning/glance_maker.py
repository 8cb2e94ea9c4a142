"""Make a glance of a plan."""

from __future__ import annotations

from shopday.planning.glance import Glance, GlanceStep, GlanceWait
from shopday.planning.plan import Moment, Plan, PlannedStep, State
from shopday.shop.folder import ShopFolder


def glance_of(folder: ShopFolder, plan: Plan) -> Glance:
    """The glance of a plan: its unfinished steps in the order of their starts."""
    steps = [_step(folder, step) for step in plan.steps if step.state is not State.DONE]
    steps.sort(key=lambda step: (step.start, step.address))
    return Glance(_minute(plan.now), folder.shop.timezone, folder.shop.clock, tuple(steps))


def _step(folder: ShopFolder, step: PlannedStep) -> GlanceStep:
    closes = step.window_ends if step.state is State.PLANNED and not step.missed else None
    return GlanceStep(
        address=step.address,
        label=step.label,
        where=folder.jobs[step.job].title or step.job,
        kind=step.kind,
        state="put down" if step.put_down else str(step.state),
        ready=_minute(step.limits.ready if step.limits is not None else step.start),
        closes=None if closes is None else _minute(closes),
        stretches=tuple((_minute(start), _minute(end)) for start, end in step.stretches),
        waits=tuple(GlanceWait(wait.name, _minute(wait.end)) for wait in step.waits if not wait.informs),
    )


def _minute(moment: Moment) -> int:
    return int(moment.timestamp()) // 60
