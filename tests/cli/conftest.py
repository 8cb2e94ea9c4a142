from __future__ import annotations

from pathlib import Path

import pytest
from cli_shop import Shop, shop_at
from happening import Happening


@pytest.fixture
def yard(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Happening:
    """A shop open on weekdays from 8 to 12 and 13 to 17, with one maker and no job yet."""
    return Happening(tmp_path / "yard", capsys)


@pytest.fixture
def shop(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Shop:
    for name in ("SHOPDAY_SHOP", "COLUMNS", "NO_COLOR", "FORCE_COLOR", "TEXTUAL_DRIVER"):
        monkeypatch.delenv(name, raising=False)
    return Shop(shop_at(tmp_path / "shop"), capsys)
