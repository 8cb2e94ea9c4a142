"""Makes what several tests share importable by name, and keeps Hypothesis free of clocks and chance."""

import sys
from pathlib import Path

import pytest
from hypothesis import settings

sys.path.append(str(Path(__file__).parent / "bench"))

settings.register_profile("shopday", deadline=None, derandomize=True, database=None)
settings.load_profile("shopday")


@pytest.fixture(autouse=True)
def _cache_of_its_own(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """No test starts from the order another one, or the person at this machine, left in the cache."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("cache")))
