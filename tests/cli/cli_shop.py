"""A small invented shop, and commands run in this process with nothing of this machine in them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from shopday.__main__ import main

NOW = "2026-12-01T08:00"  # a Tuesday

SHOP = """\
name = "Thistle Lane Joinery"
timezone = "America/Denver"

[hours]
monday    = ["08:00-12:00", "13:00-17:00"]
tuesday   = ["08:00-12:00", "13:00-17:00"]
wednesday = ["08:00-12:00", "13:00-17:00"]
thursday  = ["08:00-12:00", "13:00-17:00"]
friday    = ["08:00-12:00"]

[[stations]]
id = "bench"

[[gear]]
id = "long-clamps"
count = 8
"""

STOOL = """\
title   = "Milking stool"
customer = "Mrs Aldous"
promise = 2026-12-03

[[parts]]
id = "seat"

  [[parts.steps]]
  id       = "glue"
  name     = "Glue up the seat"
  hands_on = "1h"
  stations = ["bench"]
  gear     = { long-clamps = 6 }
  waits    = [{ name = "in clamps", takes = "2h", keeps = "all" }]

  [[parts.steps]]
  id       = "shape"
  name     = "Shape the seat"
  hands_on = "3h"

  [[parts.steps]]
  id       = "oil"
  hands_on = "30m"
  within   = "20h"
  waits    = [
    { name = "dries", takes = "24h" },
    { name = "full cure", takes = "7d", informs = true },
  ]

[[steps]]
id       = "deliver"
hands_on = "1h"
"""

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
