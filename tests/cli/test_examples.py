"""Every example of the help, typed as it stands in the demo shop."""

from __future__ import annotations

import datetime as dt
import io
import re
import shlex
import shutil
import sys
from pathlib import Path

import pytest
from cli_shop import Shop

from shopday.cli.commands import COMMANDS, EFFORT
from shopday.cli.examples import EXAMPLES
from shopday.planning.demo_copy import copy_demo
from shopday.planning.open_shop import OpenShop

pytestmark = pytest.mark.slow

NOW = "2026-12-02T10:05"
ELSEWHERE = ("serve", "watch", "calendar shop.ics --follow", "demo")
"""Those that go on until stopped, and the demo: they have tests of their own."""
TYPED = [
    (name, typed)
    for name, examples in EXAMPLES.items()
    for typed, _ in examples
    if not any(typed.startswith(f"shopday {word}") for word in ELSEWHERE)
]


@pytest.fixture(scope="module")
def planned_demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo with a plan, a bench to quote and two files to import."""
    now = dt.datetime.fromisoformat(NOW)
    folder = copy_demo(tmp_path_factory.mktemp("demo") / "shop", now)
    OpenShop(folder, now).plan(0)
    (folder / "bench.toml").write_text('title = "Bench"\n\n[[steps]]\nid = "make"\nhands_on = "6h"\n')
    (folder / "jobs.csv").write_text(
        "title,customer,promise,part,step,minutes\nBox,,2027-03-01,,Make it,90\n"
    )
    (folder / "holidays.ics").write_text(
        "BEGIN:VCALENDAR\nVERSION:2.0\nPRODID:-//test//EN\nBEGIN:VEVENT\nUID:1\nSUMMARY:New Year\n"
        "DTSTART;VALUE=DATE:20270101\nEND:VEVENT\nEND:VCALENDAR\n"
    )
    carcass = folder / "jobs" / "seed-drawers.toml"  # a board to measure
    carcass.write_text(
        carcass.read_text().replace('id       = "joints"', 'id       = "joints"\nmoisture = {}')
    )
    return folder


@pytest.mark.parametrize(("name", "typed"), TYPED, ids=[typed for _, typed in TYPED])
def test_an_example_runs_as_it_is_typed(
    planned_demo: Path, name: str, typed: str, shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop.folder = shutil.copytree(planned_demo, tmp_path / "home" / "shop")
    if name in ("init", "restore"):
        (shop.folder / {"init": "shop.toml", "restore": "journal.db"}[name]).unlink()
    monkeypatch.chdir(shop.folder)
    said, file = re.fullmatch(r"(.*?)(?: < (\S+)| > \S+)?", typed).groups()  # type: ignore[union-attr]
    given = Path(file).read_bytes() if file else b"\n" * 40  # `init` takes what it offers
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(given)))
    for first in {"redo": ["undo"], "out": ["out ines thu"] if "--remove" in typed else []}.get(name, []):
        assert shop.run(*shlex.split(first), now=NOW)[0] == 0
    words = shlex.split(
        re.sub(r".*[(]shopday (.*)[)].*|shopday ?", r"\1", said).replace("~", str(tmp_path / "home"))
    )
    if name:
        quick = {EFFORT.name: "0", "--draws": "10"}
        words += [
            word for arg in COMMANDS[name].args if arg.name in quick for word in (arg.name, quick[arg.name])
        ]
    status, _ = shop.run(*words, now=NOW)
    assert status == 0, shop.err
