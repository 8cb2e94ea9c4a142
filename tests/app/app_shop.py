"""The minute the tests live in, and the app opened on a shop with plans made where they are asked for."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from zoneinfo import ZoneInfo

from local_planner import LocalPlanner

from shopday.app.app import ShopdayApp
from shopday.app.protocol import Planner
from shopday.planning.open_shop import OpenShop

NOW = dt.datetime(2026, 12, 2, 10, 5, tzinfo=ZoneInfo("America/Denver"))
OpenApp = Callable[[], ShopdayApp]


def app_on(open_shop: OpenShop, planner: Planner | None = None) -> ShopdayApp:
    """The app with a shop that is read at once."""
    return ShopdayApp(lambda hand_on: hand_on(open_shop), planner or LocalPlanner(open_shop, effort=0))
