"""Getting told: each thing once, at its minute, by a command of one's own."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from cli_shop import Shop

from shopday.planning.open_shop import OpenShop

pytestmark = pytest.mark.slow


def test_each_wait_and_window_is_announced_once(
    shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop.run("start", "stool/seat/glue")
    shop.run("finish", "stool/seat/glue", now="2026-12-01T09:00")
    told = tmp_path / "told"
    script = tmp_path / "tell"
    script.write_text(f'#!/bin/sh\necho "$1:$2" >> {told}\n')
    script.chmod(0o755)
    clock = iter(range(1, 7 * 60))  # a look a minute, from 9:00 to 16:00
    nine = OpenShop.minute

    def sleep(_: float) -> None:
        past = next(clock, None)
        if past is None:
            raise KeyboardInterrupt
        monkeypatch.setattr(OpenShop, "minute", lambda self: nine(self) + past)
        if past == 60:
            shop_file = shop.folder / "jobs" / "stool.toml"
            shop_file.write_text(shop_file.read_text().replace('within   = "20h"', 'within   = "1h"'))

    monkeypatch.setattr(time, "sleep", sleep)
    status, out = shop.run("watch", "--before", "45m", "--run", f"{script} shop", now="2026-12-01T09:00")
    assert status == 130
    assert out == "Over: in clamps, Glue up the seat (Seat of Milking stool).\n"
    assert told.read_text() == f"shop:{out}"
    assert shop.err == f"Watching, to tell by {script} and here; Ctrl+C stops it.\n"


def test_a_window_is_announced_before_it_closes(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    for step, start, end in (("glue", "01T08:00", "01T09:00"), ("shape", "01T11:00", "01T15:00")):
        shop.run("start", f"stool/seat/{step}", now=f"2026-12-{start}")
        shop.run("finish", f"stool/seat/{step}", now=f"2026-12-{end}")
    looks = iter([14, 15, 16])
    ten = OpenShop.minute

    def sleep(_: float) -> None:
        past = next(looks, None)
        if past is None:
            raise KeyboardInterrupt
        monkeypatch.setattr(OpenShop, "minute", lambda self: ten(self) + past)

    monkeypatch.setattr(time, "sleep", sleep)
    out = shop.run("watch", "--before", "45m", "--run", "true", now="2026-12-02T10:00")[1]
    assert out == "Oil (Seat of Milking stool): start by 11:00, then its window closes.\n"
    assert shop.run("watch", "--run", "no-such-program")[0] == 2
    assert "no-such-program" in shop.err
