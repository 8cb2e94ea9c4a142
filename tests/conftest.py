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
    """One more than there are cores: tests of the app and of commands wait a good part of their time."""
    return (os.cpu_count() or 1) + 1
