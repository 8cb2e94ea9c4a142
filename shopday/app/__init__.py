"""The terminal app. Nothing here is imported until it is needed: Textual costs 150 ms."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path


def run(folder: Path, now: datetime | None = None) -> int:
    """Run the app on a shop folder until the person quits; return the exit status. now: stops the app's clock at
    this time."""
    from shopday.app.launch import open_app

    return open_app(folder, now)
