"""What a job takes and costs, in a sentence."""

from __future__ import annotations

from collections.abc import Iterator

from shopday.planning.questions.job_costs import JobCosts
from shopday.text.durations import work_text
from shopday.text.money import money_text
from shopday.text.sentences import both


def costs_text(costs: JobCosts) -> str:
    """The hours of a job, and its costs if the shop has prices: estimated, and so far."""
    foreseen, so_far = costs.estimate, costs.actual
    said = f"{work_text(foreseen.minutes)} of work by the estimate"
    said += f", {work_text(so_far.minutes)} {'in all' if costs.over else 'so far'}" if so_far.minutes else ""
    if not foreseen.total and not so_far.total:
        return f"{said}."
    pieces = ", ".join(_pieces(costs))
    said += f". Costs {money_text(foreseen.total, costs.currency)}: {pieces}"
    if so_far.total:
        word = "in all" if costs.over else "so far"
        said += f"; {money_text(so_far.total, costs.currency)} {word}"
    if costs.unpriced:
        said += f"; no price is known for {both(costs.unpriced)}"
    return f"{said}."


def _pieces(costs: JobCosts) -> Iterator[str]:
    foreseen = costs.estimate
    for name, amount in (
        ("work", foreseen.work),
        ("materials", foreseen.materials),
        ("bought", foreseen.bought),
    ):
        if amount:
            yield f"{name} {money_text(amount)}"
