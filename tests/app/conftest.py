"""The demo shop at one fixed minute, and the app on it with plans made at once."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from shopday.app.app import ShopdayApp
from shopday.app.planner import LocalPlanner
from shopday.planning.demo import copy_demo
from shopday.planning.workshop import Workshop

NOW = dt.datetime(2026, 12, 2, 10, 5, tzinfo=ZoneInfo("America/Denver"))
OpenApp = Callable[[], ShopdayApp]


@pytest.fixture(scope="session")
def demo_source(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return copy_demo(tmp_path_factory.mktemp("demo") / "shop", NOW)


@pytest.fixture
def shop(demo_source: Path, tmp_path: Path) -> Path:
    """A copy of the demo shop of one's own."""
    import shutil

    return Path(shutil.copytree(demo_source, tmp_path / "shop"))


@pytest.fixture
def open_app(shop: Path) -> OpenApp:
    def make() -> ShopdayApp:
        workshop = Workshop(shop, NOW)
        return ShopdayApp(lambda: workshop, LocalPlanner(workshop, effort=0))

    return make
