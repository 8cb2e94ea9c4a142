from __future__ import annotations

from pathlib import Path

import pytest
from cli_shop import Shop, shop_at


@pytest.fixture
def shop(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Shop:
    for name in ("SHOPDAY_SHOP", "COLUMNS", "NO_COLOR", "FORCE_COLOR", "TEXTUAL_DRIVER"):
        monkeypatch.delenv(name, raising=False)
    return Shop(shop_at(tmp_path / "shop"), capsys)
