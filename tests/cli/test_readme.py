"""Every command in the README runs, and its example is a shop; what it says of choices is true."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest
from cli_shop import Shop

from shopday.cli.commands import COMMANDS, EVERYWHERE

README = (Path(__file__).parents[2] / "README.md").read_text("utf-8")

BLOCKS = re.findall(r"```(\w*)\n(.*?)```", README, re.DOTALL)
COMMAND = re.compile(r"shopday(?: [^`|]+)?")
MENTIONED = sorted({found for found in re.findall(r"`([^`\n]+)`", README) if COMMAND.fullmatch(found)})

STANDS_FOR = {
    "FILE": "FILE",
    "ADDRESS": "stool/seat/glue",
    "JOB": "stool",
    "NAME": "plan",
    "PERSON": "maker",
    "SHELL": "bash",
    "DIR": "new-folder",
    "COMMAND": "plan",
}
OPENS_SOMETHING = ("shopday", "shopday serve", "shopday watch")


def test_the_readme_names_every_command_and_global_option() -> None:
    assert {
        name for name in COMMANDS if f"shopday {name}" not in README and f"`{name}`" not in README
    } == set()
    assert all(f"`{arg.name}" in README for arg in EVERYWHERE)


@pytest.mark.slow
@pytest.mark.parametrize("command", [c for c in MENTIONED if " ".join(c.split()[:2]) not in OPENS_SOMETHING])
def test_every_command_of_the_readme_runs(
    shop: Shop, command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "FILE").write_text('title = "Boot rack"\n\n[[steps]]\nid = "make"\nhands_on = "6h"\n')
    shop.run("reading", "20C", now="2026-12-01T07:00")  # something to undo, and a backup to restore
    words = [STANDS_FOR.get(word, word) for word in shlex.split(command)[1:]]
    if words[0] == "calendar" and len(words) > 1:
        words[1] = "shop.ics"
    if words[0] == "import":
        (tmp_path / "FILE").write_text("title,step,minutes\nBox,Make it,90\n")
    if words[0] == "init":
        (shop.folder / "shop.toml").unlink()
        words.append("--defaults")
    if words[0] == "restore":
        (shop.folder / "journal.db").unlink()
    status, _ = shop.run(*words)
    assert status == 0, shop.err


def test_the_blocks_to_paste_are_the_two_commands() -> None:
    pasted = [text.strip() for language, text in BLOCKS if language == "sh"]
    assert len(pasted) == 2
    assert pasted[0].endswith(".venv/bin/shopday demo")
    assert pasted[1].endswith(".venv/bin/python -m pytest -n auto")


def test_the_example_is_a_shop_without_faults(shop: Shop) -> None:
    files = {text.splitlines()[0].removeprefix("# "): text for language, text in BLOCKS if language == "toml"}
    assert set(files) == {"shop.toml", "jobs/hall-bench.toml"}
    for file in (shop.folder / "jobs").iterdir():
        file.unlink()
    for name, text in files.items():
        (shop.folder / name).write_text(text)
    assert shop.run("check") == (0, "Every file is right, and every step has a place.\n")
    steps = shop.run("completion", "words", "--shop", str(shop.folder), "start", "hall")[1]
    assert "hall-bench/seat/glue" in steps.split()
