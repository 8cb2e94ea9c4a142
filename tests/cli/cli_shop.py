"""A small invented shop, and commands run in this process with nothing of this machine in them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from small_shop import SHOP, STOOL

from shopday.__main__ import main

NOW = "2026-12-01T08:00"  # a Tuesday

SHELF = """\
title   = "Wall shelf"
customer = "Mr Bellamy"
promise = 2026-12-10

[[parts]]
id = "shelf"

  [[parts.steps]]
  id      = "hooks"
  arrives = { what = "hooks", on = 2026-12-02, from = "the smith" }

  [[parts.steps]]
  id       = "fix"
  name     = "Fix the hooks"
  hands_on = "2h"
"""

ASKED = """\
title = "Boot rack"

[[steps]]
id       = "make"
hands_on = "6h"
"""


def shop_at(folder: Path, jobs: dict[str, str] | None = None) -> Path:
    """The shop with its two jobs, or with these."""
    (folder / "jobs").mkdir(parents=True)
    (folder / "shop.toml").write_text(SHOP)
    for name, text in (jobs or {"stool": STOOL, "shelf": SHELF}).items():
        (folder / "jobs" / f"{name}.toml").write_text(text)
    return folder


def flat(said: str) -> str:
    """What was printed, without the line breaks of a narrow page."""
    return " ".join(said.split())


class Shop:
    """Runs commands on one folder at one time."""

    def __init__(self, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
        self.folder, self._capsys = folder, capsys
        self.err = ""

    def run(self, *argv: str, now: str = NOW) -> tuple[int, str]:
        """(status, what was printed); what went to stderr is in `err`."""
        self._capsys.readouterr()
        try:
            status = main(["--shop", str(self.folder), "--now", now, *argv])
        except SystemExit as stop:
            status = int(stop.code or 0)
        out, self.err = self._capsys.readouterr()
        return status, out

    def ask(self, *argv: str, now: str = NOW) -> Any:
        """The answer as JSON."""
        status, out = self.run(*argv, "--json", now=now)
        assert status == 0, self.err
        return json.loads(out)
