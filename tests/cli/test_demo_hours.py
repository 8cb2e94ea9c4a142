"""`shopday demo` shows a shop at work, whatever the hour."""

from __future__ import annotations

from pathlib import Path

import pytest
from cli_shop import Shop


@pytest.mark.slow
@pytest.mark.parametrize(("now", "told"), [("23:55", True), ("14:30", False)])
def test_the_demo_is_at_work_at_any_hour(shop: Shop, tmp_path: Path, now: str, told: bool) -> None:
    status, said = shop.run("demo", str(tmp_path / "demo"), now=f"2026-12-02T{now}")
    assert status == 0
    assert "Under way: Cut the joints" in said
    assert "9:30–12:30" in said or not told  # the joints were begun 35 minutes before 10:05
    assert ("it is shown at 10:05. Other commands want `--now 2026-12-02T10:05`" in shop.err) is told
