"""What is measured, logged from a step's card. In the demo it is Wednesday 2 December 2026, 10:05."""

from __future__ import annotations

from pathlib import Path

import pytest
from app_reading import choices, choose, press_each, read, until
from app_shop import NOW, app_on
from test_changes import typed

from shopday.app.app import ShopdayApp
from shopday.app.dialogs.confirm_moves import ConfirmMoves
from shopday.app.dialogs.step_dialog import StepDialog
from shopday.app.widgets.row_list import RowList
from shopday.planning.open_shop import OpenShop

pytestmark = pytest.mark.slow

SHOP = """
name = "Trial"
timezone = "America/Denver"
[hours]
wednesday = ["08:00-12:00", "13:00-17:00"]
thursday = ["08:00-12:00", "13:00-17:00"]
"""
JOB = """
[[steps]]
id = "mill"
hands_on = "1h"
moisture = { least = 6, most = 9 }
[[steps]]
id = "oil"
hands_on = "30m"
waits = [{ name = "dries", takes = "2h" }]
"""


def oil_is_over(app: ShopdayApp) -> bool:
    """Whether the app has noticed what was logged beside it."""
    plan = app.session.state.plan
    return plan is not None and any(s.step == "oil" and s.state == "waiting" for s in plan.steps)


async def test_the_step_dialog_logs_a_reading_a_test_and_sanding_back(tmp_path: Path) -> None:
    (tmp_path / "jobs").mkdir()
    (tmp_path / "shop.toml").write_text(SHOP)
    (tmp_path / "jobs" / "desk.toml").write_text(JOB)
    open_shop = OpenShop(tmp_path, NOW)
    app = app_on(open_shop)
    async with app.run_test(size=(100, 40), notifications=True) as pilot:
        await press_each(pilot, "2", "enter", "enter")
        assert isinstance(app.screen, StepDialog)
        assert {"moisture", "rework", "tested"} & set(choices(app)) == {"moisture"}
        await choose(pilot, "moisture")
        assert "No reading of moisture yet, and the wood must be at 6.0 to 9.0 %." in read(app, "#text")
        await typed(pilot, "answer", "wet")
        assert "number from 0 to 60" in read(app, "#wrong")
        await typed(pilot, "answer", "8.5, board 2")
        assert isinstance(app.screen, ConfirmMoves)
        await press_each(pilot, "k")
        assert open_shop.state().moisture == {"desk/mill": {"2": 8.5}}
        await press_each(pilot, "f")
        open_shop.log("start", "desk/oil", plan=open_shop.plan(0), anyway=True)
        open_shop.log("finish", "desk/oil")
        await press_each(pilot, "1", "2", "enter")
        rows = app.screen.query_one("#steps", RowList)
        await until(pilot, lambda: oil_is_over(app))
        rows.highlighted = next(i for i, row in enumerate(rows.rows) if "Oil" in row.draw(80).plain)
        await press_each(pilot, "enter")
        assert isinstance(app.screen, StepDialog)
        await choose(pilot, "tested")
        await choose(pilot, "1")  # two hours more
        await press_each(pilot, "k")
        assert open_shop.state().tested == {("desk/oil", 1): {"dries": open_shop.minute() + 120}}
        await press_each(pilot, "enter")
        await choose(pilot, "rework")
        await typed(pilot, "answer", "2, 45m")
        await press_each(pilot, "k")
        assert open_shop.state().extra_passes == {"desk/oil": 2}
        assert open_shop.state().reworked == {("desk/oil", 2): 45}
