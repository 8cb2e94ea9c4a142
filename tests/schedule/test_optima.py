"""Small shops whose optimum OR-Tools CP-SAT proves on an exact model: ours must be it."""

from __future__ import annotations

import pytest
from exact import exact
from making import made_shop

from shopday.schedule.solve import solve
from shopday.schedule.verify import verify_result

HORIZON = 12 * 1440


@pytest.mark.parametrize("seed", range(16))
def test_small_shops_are_planned_as_well_as_can_be(seed: int) -> None:
    problem = made_shop(seed, 6 + seed % 6)
    result = solve(problem, 0.25, seed=1)
    assert verify_result(problem, result) == []
    assert result.schedule.unplaced == {}
    best = exact(problem, result.schedule, 60, HORIZON)
    assert best.proven
    assert (result.late, result.finish) == (best.late, best.finish)
