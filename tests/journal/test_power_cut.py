"""Power cuts by a model: no fact that was said to be logged is lost with what was not synced."""

from __future__ import annotations

import shutil
import sys

import pytest
from power_cut import cuts

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(sys.platform != "linux", reason="the writes are recorded by LD_PRELOAD"),
    pytest.mark.skipif(shutil.which("gcc") is None, reason="there is no gcc"),
]


def test_nothing_acknowledged_is_lost_to_a_power_cut() -> None:
    """A longer run is `python tests/bench/power_cut.py 300`."""
    found = cuts(20, seed=1)
    assert found.total() == 20
    assert found["rolled back"] > 0
