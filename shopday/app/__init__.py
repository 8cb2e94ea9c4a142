"""The terminal app. Nothing here is imported before somebody asks for it: Textual costs 150 ms."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path


def run(folder: Path, now: datetime | None = None) -> int:
    """Open the app on a shop folder until it is quit; the exit status. `now` stops its clock there."""
    from shopday.app.launch import open_app

    return open_app(folder, now)
