"""The demo shop at one fixed minute, and the app on it with plans made at once."""

from __future__ import annotations

from pathlib import Path

import pytest
from app_shop import NOW, OpenApp, app_on

from shopday.app.app import ShopdayApp
from shopday.planning.demo_copy import copy_demo
from shopday.planning.open_shop import OpenShop


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
        return app_on(OpenShop(shop, NOW))

    return make
