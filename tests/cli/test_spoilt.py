"""Files spoilt by chance: a status, one line a fault on stderr, never a traceback.

The long version is run by hand: SHOPDAY_SPOILT=10000 python -m pytest tests/cli/test_spoilt.py
"""

from __future__ import annotations

import io
import os
import tempfile
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path
from random import Random

import pytest
from cli_shop import NOW, SHELF, shop_at
from hypothesis import given, settings
from hypothesis import strategies as st
from small_shop import SHOP, STOOL

from shopday.__main__ import main

pytestmark = pytest.mark.slow

COUNT = int(os.environ.get("SHOPDAY_SPOILT", "60"))

TOKENS = [
    '"', "[", "]", "{", "}", "=", "\n", "#", ",", "-1", "0", "1e9", "nan", "true", "''", '""', "\\u001b", "\\x", "[[",
    "[[parts]]", '"100000h"', '"-5m"', '"5 workdays"', "2026-02-30", "9999-12-31", "0001-01-01", '"24:00-08:00"',
    "\x00", "\ufeff", "é", "id", "after = [\"deliver\"]", "passes = 100", "[steps]", "hands_on = 3", "\t", "é" * 500,
]  # fmt: skip


def spoil(text: str, random: Random) -> str:
    """Cuts, swaps, doubles and puts things in at a few places."""
    for _ in range(random.randint(1, 3)):
        at, to = sorted(random.randrange(len(text) + 1) for _ in range(2))
        to = min(to, at + random.choice((0, 1, 8, 60)))
        text = text[:at] + random.choice(("", random.choice(TOKENS), text[at:to] * 2)) + text[to:]
        lines = text.split("\n")
        if random.random() < 0.3:
            random.shuffle(lines)
        text = "\n".join(lines)
    return text


def told(*argv: str) -> tuple[int, str]:
    """Status and stderr of a command."""
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        status = main(["--now", NOW, *argv])
    return status, err.getvalue()


def look(folder: Path, jobs_alone: bool = False) -> None:
    """`jobs_alone`: only files of jobs may have faults, and those leave the rest of the shop planned."""
    for command in (["plan", "--effort", "0"], ["check"], ["waiting", "--json", "--effort", "0"]):
        status, err = told("--shop", str(folder), *command)
        assert status in (0, 2, 3)
        if jobs_alone and command != ["check"]:
            assert status == 3 or (status, err) == (0, "")
        else:
            left_out = status == 3 and all(line.startswith("jobs/") for line in err.splitlines())
            assert left_out or (status == 2) == bool(err)
        assert "\x1b" not in err
        assert all(line.strip() for line in err.splitlines())


@pytest.mark.timeout(0 if COUNT > 100 else 240)
@settings(max_examples=COUNT)
@given(st.integers(0, 2**32), st.sampled_from(["shop", "stool", "shelf"]))
def test_spoilt_files_are_told_by_line(seed: int, which: str) -> None:
    random = Random(seed)
    texts = {"shop": SHOP, "stool": STOOL, "shelf": SHELF}
    with tempfile.TemporaryDirectory() as room:
        folder = shop_at(Path(room) / "shop")
        file = folder / ("shop.toml" if which == "shop" else f"jobs/{which}.toml")
        file.write_text(spoil(texts[which], random), "utf-8", errors="replace")
        look(folder, jobs_alone=which != "shop")


@pytest.mark.timeout(0 if COUNT > 100 else 240)
@settings(max_examples=COUNT)
@given(st.integers(0, 2**32))
def test_spoilt_journals_are_told_with_the_way_out(seed: int) -> None:
    random = Random(seed)
    with tempfile.TemporaryDirectory() as room:
        folder = shop_at(Path(room) / "shop")
        assert told("--shop", str(folder), "start", "stool/seat/glue", "--effort", "0")[0] == 0
        journal = folder / "journal.db"
        data = bytearray(journal.read_bytes())
        for _ in range(random.choice((1, 20, 400))):
            data[random.randrange(len(data))] = random.randrange(256)
        journal.write_bytes(data[: random.choice((len(data), random.randrange(len(data))))])
        look(folder)


@pytest.mark.parametrize("data", [b"", b"\xff\xfe\x00", b"\x00" * 4096, b"a = " + b"[" * 50_000])
def test_binary_files_are_reported(tmp_path: Path, data: bytes) -> None:
    folder = shop_at(tmp_path / "shop")
    (folder / "jobs" / "shelf.toml").write_bytes(data)
    look(folder, jobs_alone=True)


def test_a_missing_folder_and_one_without_a_shop_are_reported(tmp_path: Path) -> None:
    for folder in (tmp_path / "nowhere", tmp_path):
        status, err = told("--shop", str(folder), "today")
        assert (status, err.count("\n")) == (2, 1)
        assert "--shop DIR" in err
