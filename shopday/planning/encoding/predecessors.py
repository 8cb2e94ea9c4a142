"""Predecessors: what each pass comes after, and the windows within which it must follow."""

from __future__ import annotations

from shopday.planning.encoding.passes import Pass
from shopday.scheduler import COMPLETE, END, Lag, Window
from shopday.shop.folder import ShopFolder
from shopday.shop.step_graph import HANDS_OFF, StepGraph
from shopday.text.names import standing


class Predecessors:
    """Turns what steps wait for into lags and windows. Ask for the passes in their order.

    reasons: receives why a pass has no place if what it comes after is not in the plan.
    skipped: the lags of skipped passes, by index; what comes after a skipped pass waits for these instead.
    """

    def __init__(
        self, folder: ShopFolder, expansion: StepGraph, passes: tuple[Pass, ...], reasons: dict[int, str]
    ) -> None:
        self.folder, self.expansion, self.passes, self.reasons = folder, expansion, passes, reasons
        self.unread = {problem.address: _unread(problem.target) for problem in expansion.problems}
        self.index = {p.key: i for i, p in enumerate(passes)}
        self.last = {p.address: i for i, p in enumerate(passes)}
        self.skipped: dict[int, tuple[Lag, ...]] = {}

    def before(self, i: int, p: Pass) -> tuple[tuple[Lag, ...], tuple[Window, ...]]:
        """The lags and windows of a pass."""
        if p.pass_no > 1:
            before_it = (Lag(self.index[p.address, p.pass_no - 1]),)
            within = (Window(before_it, p.within),) if p.within is not None else ()
            return self._with_skipped(before_it), within
        before = self.expansion.before[p.address]
        missing = [
            b.address for b in before if b.address not in self.last and not self._was_delivered(b.address)
        ]
        if missing and p.log is None:
            self.reasons[i] = self._not_live(missing[0])
        elif p.address in self.unread and p.log is None:
            self.reasons[i] = self.unread[p.address]
        known = [b for b in before if b.address in self.last]
        lags = tuple(Lag(self.last[b.address], self._milestone(b.address, b.when)) for b in known)
        windows = [
            Window((lag,), b.within) for lag, b in zip(lags, known, strict=True) if b.within is not None
        ]
        if p.within is not None and lags:
            windows.append(Window(lags, p.within))
        return self._with_skipped(lags), tuple(windows)

    def _with_skipped(self, lags: tuple[Lag, ...]) -> tuple[Lag, ...]:
        """Add the lags of skipped steps: what comes after one waits for what it had waited for."""
        return tuple(
            dict.fromkeys((*lags, *(more for lag in lags for more in self.skipped.get(lag.task, ()))))
        )

    def _was_delivered(self, address: str) -> bool:
        return self.folder.jobs[address.split("/")[0]].status == "delivered"

    def _not_live(self, address: str) -> str:
        job = address.split("/")[0]
        status = self.folder.jobs[job].status
        return (
            f"it comes after {address}, and the job {job} is {standing(status)}; "
            'set its `status` to "live" or change `after`'
        )

    def _milestone(self, address: str, when: str | None) -> int:
        """The moment of the step's last pass that counts. A skipped pass has no waits; its end stands for them."""
        if when is None:
            return COMPLETE
        p = self.passes[self.last[address]]
        return END if when == HANDS_OFF or p.skipped else [wait.name for wait in p.waits].index(when)


def _unread(target: str) -> str:
    """Why a step that comes after an unreadable one has no place."""
    return (
        f"it comes after {target}, and the file of the job {target.split('/')[0]} has faults; mend that first"
    )
