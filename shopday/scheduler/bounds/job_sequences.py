"""JobSequences: bounds from the order in which a machine takes the jobs, over all choices of the last job."""

from __future__ import annotations

from collections.abc import Callable

from shopday.scheduler.bounds.job_bounds import JobBounds
from shopday.scheduler.bounds.machine_relaxation import Machine
from shopday.scheduler.bounds.sequencing import least_assignment, least_over_orders

ALL_ORDERS = 8
"""Up to this number of jobs all orders are compared; with more, only places in an order."""

LEVELS = 10
"""The number of minutes from which work that cannot begin earlier is added up."""

Price = Callable[[int, int], int]
"""Returns what a job (an index) costs if delivered at a minute; a later delivery costs no less."""


class JobSequences:
    """The jobs that a machine works for, and when each can be delivered as the last of some of them."""

    def __init__(self, floors: JobBounds, machine: Machine, jobs: list[int]) -> None:
        self.floors = floors
        self.machine = machine
        work = {j: [i for i in floors.tasks_of[j] if i in machine.needs] for j in jobs}
        self.jobs = [j for j in jobs if work[j]]
        self.last = [floors.last(work[j]) for j in self.jobs]
        self.levels = self._levels(
            [[(floors.heads[i], machine.needs[i]) for i in work[j]] for j in self.jobs]
        )
        self.all_orders = len(self.jobs) <= ALL_ORDERS
        self.deliveries = self._by_order() if self.all_orders else self._by_place()

    def _levels(self, work: list[list[tuple[int, int]]]) -> list[tuple[int, list[int]]]:
        """For some minutes: the work the machine can do before it, and each job's work that begins no earlier."""
        heads = sorted({head for pieces in work for head, _ in pieces})
        step = 1 + len(heads) // LEVELS
        return [
            (
                self.machine.supply.at(least),
                [sum(n for head, n in pieces if head >= least) for pieces in work],
            )
            for least in heads[::step]
        ]

    def _delivery(self, k: int, done: int) -> int:
        """The earliest delivery of a job if the machine has done this much work when it ends its work for the job."""
        end = self.machine.supply.when(done)
        return max(self.floors.deliveries[self.jobs[k]], self.floors.delivery(self.last[k], end))

    def _by_order(self) -> list[list[int]]:
        """By job: its delivery as the last of each set of jobs."""
        count = len(self.jobs)
        done = [0] * (1 << count)
        for ready, work in self.levels:
            sums = [0]
            for k in range(count):
                sums += [total + work[k] for total in sums]
            done = [max(most, total and ready + total) for most, total in zip(done, sums, strict=True)]
        return [
            [self._delivery(k, done[jobs]) if jobs >> k & 1 else 0 for jobs in range(1 << count)]
            for k in range(count)
        ]

    def _by_place(self) -> list[list[int]]:
        """By job: its delivery in each place of an order, with the least work before it."""
        count = len(self.jobs)
        table = []
        for k in range(count):
            done = [0] * count
            for ready, work in self.levels:
                total = work[k]
                for place, other in enumerate([0, *sorted(work[:k] + work[k + 1 :])]):
                    total += other
                    done[place] = max(done[place], total and ready + total)
            table.append([self._delivery(k, minutes) for minutes in done])
        return table

    def least(self, price: Price) -> int:
        """The least total price of these jobs."""
        prices = [[price(j, d) for d in row] for j, row in zip(self.jobs, self.deliveries, strict=True)]
        if self.all_orders:
            return least_over_orders(len(prices), lambda k, jobs: prices[k][jobs])
        return least_assignment(prices)
