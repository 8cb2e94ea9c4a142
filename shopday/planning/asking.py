"""Asking the scheduler: builds the problem, warms the search up, and looks farther ahead where it must."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Sequence

from shopday.journal.state import ShopState
from shopday.planning.build import Built, build
from shopday.planning.foremost import brought_forward
from shopday.planning.plan import Plan
from shopday.planning.read import read
from shopday.schedule.pair import improve_in_pair
from shopday.schedule.result import Cause, Result
from shopday.shop.folder import ShopFolder

Order = Sequence[tuple[str, int]]
"""Passes in the order of an earlier plan."""

FARTHER = 4
"""How many times as far the calendars reach when something ran over their end."""


def plan(
    folder: ShopFolder, state: ShopState, now: int, effort: float = 1.0, near: Plan | None = None
) -> Plan:
    """The best plan found with this effort (0: the first one)."""
    built, result = deque(answers(folder, state, now, effort, near), maxlen=1).pop()
    return read(built, result, bounded=effort > 0)


def answers(
    folder: ShopFolder,
    state: ShopState,
    now: int,
    effort: float = 1.0,
    near: Plan | None = None,
    order: Order = (),
) -> Iterator[tuple[Built, Result]]:
    """The problem with a result at once, then with every better one found."""
    state, longer = brought_forward(folder, state, now), 1
    while True:
        built = build(folder, state, now, longer)
        results = improve_in_pair(
            built.problem, effort, _order(built, order if near is None else near.order), bounded=effort > 0
        )
        first = next(results)
        if not (built.could_be_longer and _ran_over(first)):
            break
        longer *= FARTHER
    yield built, first
    for result in results:
        yield built, result


def _ran_over(result: Result) -> bool:
    return any(refusal.cause is Cause.HORIZON for refusal in result.schedule.unplaced.values())


def _order(built: Built, order: Order) -> list[int] | None:
    """The order of an earlier plan for the passes that are still there; new ones come after it."""
    return [built.index[key] for key in order if key in built.index] or None
