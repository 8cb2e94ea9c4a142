"""`shopday calendar FILE --follow`: written again after every change, a fault told once."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from cli_shop import SHELF, Shop

from shopday.cli import export_commands


def test_the_calendar_follows_logs_and_edits_and_outlives_a_fault(
    shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    job, file = shop.folder / "jobs" / "shelf.toml", tmp_path / "shop.ics"
    seen: list[bool] = []

    def edit(text: str) -> Callable[[], object]:
        return lambda: job.write_text(text)

    def look() -> None:
        seen.append(b"Hang the shelf" in file.read_bytes())

    def stop() -> None:
        raise KeyboardInterrupt

    deeds = iter(
        [
            look,
            edit("title = "),
            look,
            edit(SHELF.replace("Fix the hooks", "Hang the shelf")),
            look,
            stop,
        ]
    )
    monkeypatch.setattr(export_commands.time, "sleep", lambda _: next(deeds)())
    status, _ = shop.run("calendar", str(file), "--follow", "--effort", "0")
    assert status == 130
    assert seen == [False, False, True]
    assert shop.err.count("jobs/shelf.toml:1") == 1
    assert shop.err.count("Written:") == 2
    assert b"Milking stool" in file.read_bytes()
