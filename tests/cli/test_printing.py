"""The printed answers in a real terminal: colours there, none where they are not wanted, as wide as it is."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pyte
import pytest
from cli_shop import NOW, shop_at

pytestmark = pytest.mark.slow

pexpect = pytest.importorskip("pexpect")


def seen(folder: Path, columns: int, **more: str) -> tuple[str, list[str]]:
    """What came over the line, and the lines a person sees."""
    env = {
        "TERM": "xterm-256color",
        "PATH": os.environ["PATH"],
        "HOME": str(folder),
        "LANG": "C.UTF-8",
        **more,
    }
    env["PYTHONPATH"] = str(Path(__file__).parents[2])
    argv = ["-m", "shopday", "--shop", str(folder), "--now", NOW, "today"]
    child = pexpect.spawn(
        sys.executable, argv, env=env, dimensions=(40, columns), encoding="utf-8", timeout=60
    )
    said = child.read()
    child.close()
    assert child.exitstatus == 0, said
    screen = pyte.Screen(columns, 40)
    pyte.Stream(screen).feed(said)
    return said, [line.rstrip() for line in screen.display]


@pytest.mark.parametrize("columns", [40, 80, 120])
def test_a_terminal_of_any_width_shows_the_day(tmp_path: Path, columns: int) -> None:
    said, lines = seen(shop_at(tmp_path / "shop"), columns)
    assert "\x1b[" in said
    assert "Start now: Glue up the seat" in lines
    assert any(line.startswith("   8:00–9:00   ▪ Glue up the seat") for line in lines)


def test_no_color_is_kept(tmp_path: Path) -> None:
    said, lines = seen(shop_at(tmp_path / "shop"), 80, NO_COLOR="1")
    assert "\x1b[3" not in said
    assert "Start now: Glue up the seat" in lines
