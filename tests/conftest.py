"""Makes what several tests share importable by name, keeps Hypothesis free of clocks and chance, and counts workers."""

import os
import sys
from pathlib import Path

import pytest
from hypothesis import settings

sys.path.append(str(Path(__file__).parent / "bench"))

settings.register_profile("shopday", deadline=None, derandomize=True, database=None)
settings.load_profile("shopday")


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_auto_num_workers() -> int:
    """Twice as many as there are cores: tests of the app and of commands wait half of their time."""
    return 2 * (os.cpu_count() or 1)


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: object) -> object:
    """Let a worker that has nothing left take tests from another: the slowest stand together."""
    from xdist.scheduler import WorkStealingScheduling

    return WorkStealingScheduling(config, log)
