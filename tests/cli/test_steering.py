"""Names that would steer a terminal: every answer shows them, none sends them."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from cli_shop import NOW, SHELF, shop_at
from small_shop import SHOP, STOOL

from shopday.__main__ import main

EVIL = r"\u001b]0;mine\u0007\u001b[31m\u202e\u009b2J"
RAW = EVIL.encode().decode("unicode_escape")
NAMED = (
    ("Thistle Lane", "Milking stool", "Mrs Aldous", "Glue up the seat", "in clamps", "full cure"),
    ("Wall shelf", "the smith", "Fix the hooks"),
)
MATERIALS = """
[own-oil]
name = "Own oil"
kind = "finish"
waits = [{ name = "dries", takes = "4h" }]
cautions = ["mind the rags"]
"""

COMMANDS = [
    "check", "today", "waiting", "plan --effort 0", "sheet", "note stool --effort 0", "odds --effort 0", "learned",
    "csv", "quote ASKED --effort 0", "calendar --effort 0", "calendar FILE --effort 0", "sheet --html FILE",
    "start stool/seat/glue --effort 0", "finish stool/seat/glue --effort 0", "undo --effort 0", "reading 12C",
    "today --json", "waiting --json", "plan --json --effort 0", "start nowhere --effort 0",
]  # fmt: skip


def spoilt(text: str, *names: str) -> str:
    for name in names:
        text = text.replace(f'"{name}', f'"{name}{EVIL}')
    return text


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    stool = spoilt(STOOL, *NAMED[0]).replace('id       = "shape"', 'id = "shape"\nmaterial = "own-oil"')
    jobs = {"stool": stool, "shelf": spoilt(SHELF, *NAMED[1])}
    made = shop_at(tmp_path_factory.mktemp("steering") / "shop", jobs)
    shop = spoilt(SHOP, "Thistle Lane").replace('id = "bench"', f'id = "bench"\nname = "Bench{EVIL}"')
    shop = shop.replace('id = "long-clamps"', f'id = "long-clamps"\nname = "Clamps{EVIL}"')
    (made / "shop.toml").write_text(shop)
    (made / "materials.toml").write_text(spoilt(MATERIALS, "Own oil", "dries", "mind the rags"))
    (made / "asked.toml").write_text(f'title = "Asked{EVIL}"\n[[steps]]\nid = "make"\nhands_on = "1h"\n')
    return made


@pytest.mark.slow
@pytest.mark.parametrize("command", COMMANDS)
def test_no_answer_steers_the_terminal(folder: Path, tmp_path: Path, command: str) -> None:
    words = {"ASKED": str(folder / "asked.toml"), "FILE": str(tmp_path / "file")}
    argv = [words.get(word, word) for word in command.split()]
    status, told = run("--shop", str(folder), "--now", NOW, *argv)
    assert status == (2 if "nowhere" in command else 0), told
    if "FILE" in command:
        told += (tmp_path / "file").read_bytes().decode().replace("\r\n", "\n")
    assert not [c for c in told if not (c.isprintable() or c == "\n")]
    assert RAW not in told


def test_hostile_names_are_shown_literally(folder: Path) -> None:
    told = run("--shop", str(folder), "--now", NOW, "plan", "--effort", "0")[1]
    assert "Wall shelf\\x1b]0;mine" in told.replace("\n", "")


def test_faults_and_file_names_are_shown_too(tmp_path: Path) -> None:
    made = shop_at(tmp_path / f"shop{RAW}", {"stool": STOOL.replace('"1h"', f'"1h{EVIL}"'), f"x{RAW}": STOOL})
    status, told = run("--shop", str(made), "check")
    assert (status, told.count("\n")) == (2, 3)
    assert all(c.isprintable() or c == "\n" for c in told)
    status, told = run("--shop", str(made / f"no{RAW}"), "today")
    assert status == 2
    assert all(c.isprintable() or c == "\n" for c in told)


def run(*argv: str) -> tuple[int, str]:
    """Status, and all that went to the terminal."""
    out = io.TextIOWrapper(io.BytesIO(), "utf-8", newline="\n", write_through=True)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("sys.stdout", out)
        patch.setattr("sys.stderr", out)
        status = main(list(argv))
    return status, out.buffer.getvalue().decode().replace("\r\n", "\n")  # type: ignore[attr-defined]
