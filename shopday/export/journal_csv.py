"""Everything logged, as a table (CSV) for bookkeeping."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopday.journal.journal import journal_rows
from shopday.planning.questions.job_costs import StepCosts, job_costs
from shopday.text.safe import clean

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop

COLUMNS = (
    "number",
    "time",
    "what",
    "job",
    "title",
    "status",
    "step",
    "name",
    "pass",
    "more",
    "written",
    "counts",
    "estimate_minutes",
    "worked_minutes",
    "costs",
)

ENDS = ("finish", "skip", "arrived")
"""The kinds of facts that end a pass."""


def entries(open_shop: OpenShop) -> list[dict[str, str]]:
    """Every row of the journal, also undone ones (`counts` is "no"). The last row that ends a step has its estimate,
    its actual time and its costs."""
    zone, jobs, steps = open_shop.zone, open_shop.folder.jobs, open_shop.expansion.steps
    steps_over = _steps_over(open_shop)
    found = []
    for number, kind, address, pass_no, at, written, more, counts in journal_rows(open_shop.journal):
        job = address.partition("/")[0]
        title, status = (jobs[job].title, jobs[job].status) if job in jobs else ("", "")
        name = steps[address].step.label if address in steps else ""
        moment = zone.moment(at).isoformat(timespec="minutes")
        noted = zone.moment(written // 60).isoformat(timespec="minutes")
        values = (
            number,
            moment,
            kind,
            job,
            title,
            status,
            address,
            name,
            pass_no,
            more,
            noted,
            "yes" if counts else "no",
            *_taken(steps_over.get(number)),
        )
        found.append(dict(zip(COLUMNS, (clean(str(value)) for value in values), strict=True)))
    return found


def _steps_over(open_shop: OpenShop) -> dict[int, StepCosts]:
    """The costs of each finished step, by the number of the fact that ended it."""
    costs = job_costs(open_shop.folder, open_shop.state(), open_shop.minute())
    over = {step.address: step for job in costs.values() for step in job.steps if step.over}
    ends = {f.address: f.id for f in open_shop.journal.facts() if f.kind in ENDS and f.address in over}
    return {number: over[address] for address, number in ends.items()}


def _taken(step: StepCosts | None) -> tuple[object, ...]:
    if step is None:
        return ("", "", "")
    worked = "" if step.unclocked else step.actual.minutes
    return step.estimate.minutes, worked, f"{step.actual.total:.2f}"
