"""What other programs build on: it works, it is typed, and its names stay."""

from __future__ import annotations

import datetime as dt
import subprocess
import sys
from pathlib import Path

import pytest

import shopday

SHOP = 'name = "Thistle Lane Joinery"\ntimezone = "America/Denver"\n[hours]\ntuesday = ["08:00-12:00"]\n'
JOB = 'title = "Boot rack"\npromise = 2026-12-08\n[[steps]]\nid = "make"\nhands_on = "2h"\n'
NOW = dt.datetime(2026, 12, 1, 8, 0)

STAYS = {
    "Plan": {"now", "jobs", "steps", "unplaced"},
    "PlannedStep": {"job", "part", "step", "pass_no", "name", "state", "start", "end", "complete", "stretches", "people"},
    "JobRow": {"job", "title", "customer", "promise", "delivery", "late_minutes"},
    "DayView": {"date", "take_up", "until", "lines", "could_start"},
    "Quote": {"job", "earliest", "alone", "moves", "plan"},
    "Fact": {"id", "kind", "address", "pass_no", "at"},
}  # fmt: skip
"""Fields that programs rely on: to take one out of this list takes a new first number of the version."""


def test_a_program_can_plan_quote_and_log(tmp_path: Path) -> None:
    (tmp_path / "jobs").mkdir()
    (tmp_path / "shop.toml").write_text(SHOP)
    (tmp_path / "jobs" / "rack.toml").write_text(JOB)
    (tmp_path / "asked.toml").write_text(JOB)
    shop = shopday.Workshop(tmp_path, NOW)
    (step,) = shop.plan().steps
    assert (step.address, step.start.isoformat()) == ("rack/make", "2026-12-01T08:00:00-07:00")
    quote = shop.quote(tmp_path / "asked.toml")
    assert quote.earliest is not None
    assert quote.earliest.isoformat() == "2026-12-01T10:00:00-07:00"  # the other has a week
    assert shop.log("start", "rack/make").address == "rack/make"
    take_up = shopday.Workshop(tmp_path, NOW).today().take_up
    assert take_up is not None
    assert take_up.state == "under way"
    assert shop.undo().kind == "start"
    with pytest.raises(shopday.ShopdayError, match="did you mean"):
        shop.log("start", "rack/mkae")


def test_the_public_names_and_fields_stay() -> None:
    for name, fields in STAYS.items():
        assert fields <= set(dir(getattr(shopday, name)))
    assert set(STAYS) | {"Workshop", "ShopdayError"} == set(shopday.__all__)


def test_importing_the_package_loads_nothing_else() -> None:
    script = "import sys, shopday; sys.exit('pydantic' in sys.modules or 'shopday.api' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", script], check=False).returncode == 0
