from __future__ import annotations

from pathlib import Path

import pytest
from hand_shops import Hand

from shopday.planning.solving import plan_decoder as reading
from shopday.scheduler import Result, verify_result


@pytest.fixture
def hand(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Hand:
    """A shop of one's own, every schedule of which is judged before a plan is read off it."""
    made = reading._Reader.__init__

    def judged(self: reading._Reader, built: reading.Built, result: Result) -> None:
        assert verify_result(built.problem, result) == []
        made(self, built, result)

    monkeypatch.setattr(reading._Reader, "__init__", judged)
    for name in ("SHOPDAY_SHOP", "COLUMNS", "NO_COLOR", "FORCE_COLOR"):
        monkeypatch.delenv(name, raising=False)
    return Hand(tmp_path, capsys)
