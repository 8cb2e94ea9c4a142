"""Shops of a few lines worked by command, minute by minute."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path
from typing import Any

import pytest
from small_shops import SHOP, said

from shopday.__main__ import main

Span = tuple[str, str]


class Hand:
    """A shop at hand: what is printed and answered at a given time. Jobs by name (a_b is job a-b)."""

    def __init__(self, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
        self.folder, self._capsys = folder, capsys

    def lay(self, shop: str = "", head: str = SHOP, **jobs: str) -> Hand:
        (self.folder / "jobs").mkdir(exist_ok=True)
        (self.folder / "shop.toml").write_text(head + shop, "utf-8")
        for name, text in jobs.items():
            (self.folder / "jobs" / f"{name.replace('_', '-')}.toml").write_text(text, "utf-8")
        return self

    def run(self, now: str, *argv: str) -> str:
        """What a command printed, on one line."""
        status, out, err = self._call(now, *argv)
        assert (status, err) == (0, "")
        return " ".join(out.split())

    def refused(self, now: str, *argv: str) -> str:
        """What is said of a call that is wrong."""
        status, out, err = self._call(now, *argv)
        assert (status, out) == (2, "")
        assert err.count("\n") == 1
        return err

    def ask(self, now: str, *argv: str) -> Any:
        status, out, err = self._call(now, *argv, "--json")
        assert (status, err) == (0, "")
        return json.loads(out)

    def plan(self, now: str) -> dict[str, Any]:
        """Steps of the plan by address."""
        steps = self.ask(now, "plan", "--effort", "0.1")["steps"]
        return {"/".join(filter(None, (s["job"], s["part"], s["step"]))): s for s in steps}

    def worked(self, now: str) -> dict[str, list[str]]:
        """When each step of the plan is worked on: {"x/a": ["Mon 08:00-09:00"]}."""
        return {
            address: [_span(*pair) for pair in step["stretches"]] for address, step in self.plan(now).items()
        }

    def toml(self) -> str:
        return (self.folder / "shop.toml").read_text("utf-8")

    def _call(self, now: str, *argv: str) -> tuple[int, str, str]:
        self._capsys.readouterr()
        try:
            status = main(["--shop", str(self.folder), "--now", now, *argv])
        except SystemExit as stop:
            status = int(stop.code or 0)
        return status, *self._capsys.readouterr()


def _span(start: str, end: str) -> str:
    one, two = map(dt.datetime.fromisoformat, (start, end))
    return f"{said(one)}-{two:%H:%M}" if one.date() == two.date() else f"{said(one)}-{said(two)}"
