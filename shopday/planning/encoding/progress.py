"""How far a step under way has come, in hands-on minutes: breaks, nights and days off do not count."""

from __future__ import annotations

from typing import NamedTuple

from shopday.planning.plan import Moment, PlannedStep, elapsed
from shopday.text.durations import work_text


class Progress(NamedTuple):
    """Minutes worked so far, left to do by the plan, and worked over the estimate."""

    worked: int
    left: int
    over: int

    @property
    def share(self) -> float:
        """The share that is done, 0 to 1."""
        whole = self.worked + self.left
        return 1.0 if self.over or not whole else self.worked / whole

    @property
    def rest(self) -> str:
        """ "1h 30m left", "20m over", or "should be done"."""
        if self.over:
            return f"{work_text(self.over)} over"
        return f"{work_text(self.left)} left" if self.left else "should be done"


def progress(step: PlannedStep, now: Moment) -> Progress:
    """The progress of a begun step at a moment, by the stretches of its plan."""
    worked = left = 0
    for start, end in step.stretches:
        whole, gone = elapsed(start, end), elapsed(start, now)
        done = min(whole, max(0, gone))
        worked, left = worked + done, left + whole - done
    return Progress(worked, left, max(0, worked - step.work) if step.state == "under way" else 0)
