"""Steps pinned to now. They go first until they are begun or unpinned, and their start moves on with the clock and
with whatever is late."""

from __future__ import annotations

from dataclasses import replace

from shopday.journal.state import Key, ShopState
from shopday.planning.encoding.problem_encoder import encode_problem
from shopday.shop.folder import ShopFolder


def foremost(state: ShopState) -> tuple[Key, ...]:
    """The pinned passes that were not begun, in the order in which they were pinned."""
    pins = sorted((minute, key) for key, minute in state.pins.items() if key not in state.passes)
    return tuple(key for _, key in pins)


def brought_forward(folder: ShopFolder, state: ShopState, now: int) -> ShopState:
    """The state with each pin moved to its earliest start from `now` (minutes since the epoch). Pins without a
    place are dropped."""
    keys = foremost(state)
    if not keys:
        return state
    from shopday.scheduler import first as first_schedule

    free = replace(state, pins={})
    built = encode_problem(folder, free, now)
    first = [built.index[key] for key in keys if key in built.index]
    rest = [i for i in range(len(built.passes)) if i not in first]
    placed = first_schedule(built.problem, [*first, *rest]).schedule.placed
    starts = {built.passes[i].key: at.start for i in first if (at := placed[i]) is not None}
    return replace(state, pins=starts)
