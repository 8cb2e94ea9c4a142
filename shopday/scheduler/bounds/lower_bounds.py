"""Lower bounds: what no schedule can beat, from critical paths over calendars and the work of people and things."""

from __future__ import annotations

from shopday.scheduler.bounds.job_bounds import JobBounds
from shopday.scheduler.bounds.job_sequences import JobSequences, Price
from shopday.scheduler.bounds.machine_relaxation import machines
from shopday.scheduler.placing.builder import Builder
from shopday.scheduler.placing.built_schedule import BuiltSchedule
from shopday.scheduler.placing.movable_tasks import MovableTasks

MANY_TASKS = 400
"""With more tasks than this, only critical paths are used."""

MANY_JOBS = 30
"""With more jobs than this, likewise."""

COMPARED_PAIRS = 24
"""How many (machine, job) pairs to compare orders for; the machines that finish last come first."""

LEX = 1 << 80
"""The weight of a minute of a total over later totals: more than any of them."""


class LowerBounds:
    """Lower bounds of each job's delivery and of the totals.

    Each person, each group of interchangeable people and each resource of capacity one is a machine: whichever job
    it does last, all its work lies before that. The least total over the orders of the jobs bounds every cost that
    is a sum over jobs; the best machine counts.

    floors: by job, no schedule delivers it earlier (None: it is not counted).
    late:   no schedule is less late.
    short:  no schedule that is as little late is less short.
    finish: no schedule as good in both has a smaller finish total.
    cost:   no schedule has a smaller cost (`Builder`).

    The totals are those of the floors until `compare_orders` improves them, which takes twice as long again.
    """

    def __init__(self, builder: Builder) -> None:
        self.builder = builder
        moving = MovableTasks(builder).movable
        many = len(moving) > MANY_TASKS or len(builder.problem.jobs) > MANY_JOBS
        shared = [] if many else machines(builder, moving)
        shared.sort(key=lambda machine: -machine.supply.when(sum(machine.needs.values())))
        self._found = JobBounds(builder, shared)
        self.floors: tuple[int | None, ...] = tuple(
            d if builder.costs.counts(j) else None for j, d in enumerate(self._found.deliveries)
        )
        self.turns: list[JobSequences] = []
        self._total()

    def compare_orders(self) -> None:
        """Compare the orders of the jobs on the machines that finish last."""
        counted = [j for j, d in enumerate(self.floors) if d is not None]
        few = max(1, COMPARED_PAIRS // len(counted)) if len(counted) > 1 else 0
        self.turns = [JobSequences(self._found, machine, counted) for machine in self._found.machines[:few]]
        self._total()

    def _total(self) -> None:
        self.cost = self._least(self._cost)
        self.any_short = self._least(self._short)
        self.any_finish = self._least(self._finish)
        rest, finish = divmod(self._least(self._in_turn), LEX)
        self.late, short = divmod(rest, LEX)
        self.short = max(short, self.any_short)
        self.finish = max(finish, self.any_finish)

    def _cost(self, job: int, delivery: int) -> int:
        return self.builder.costs.job_cost(job, delivery)[0]

    def _finish(self, job: int, delivery: int) -> int:
        return self.builder.costs.job_totals(job, delivery)[2]

    def _short(self, job: int, delivery: int) -> int:
        return self.builder.costs.job_totals(job, delivery)[1]

    def _in_turn(self, job: int, delivery: int) -> int:
        late, short, finish = self.builder.costs.job_totals(job, delivery)
        return LEX * (LEX * late + short) + finish

    def _least(self, price: Price) -> int:
        """The largest bound that a machine gives; jobs it does not work for are delivered at their floors."""
        alone = {j: price(j, d) for j, d in enumerate(self.floors) if d is not None}
        total = sum(alone.values())
        return max([total, *(total - sum(alone[j] for j in x.jobs) + x.least(price) for x in self.turns)])

    def reached(self, built: BuiltSchedule) -> bool:
        """True if no schedule is better."""
        priced = self.builder.costs.late_weight * self.late + self.builder.costs.short_weight * self.short
        return (built.late, built.short, built.cost) <= (self.late, self.short, priced + self.finish)

    def totals(self, late: int, short: int, finish: int) -> tuple[int, int, int]:
        """Bounds of the totals, given a schedule with these totals."""
        least_short = self.short if late <= self.late else self.any_short
        least = self.finish if (late, short) <= (self.late, self.short) else self.any_finish
        return min(late, self.late), min(short, least_short), min(finish, least)
