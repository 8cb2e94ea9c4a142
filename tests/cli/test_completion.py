"""Completion in the shells that are here: what a key puts on the line."""

from __future__ import annotations

import os
import shutil
import stat
import subprocess
import sys
from pathlib import Path

import pexpect
import pytest
from cli_shop import NOW, Shop

from shopday.cli.commands import COMMANDS
from shopday.cli.completion import SCRIPTS, STATES, completions

STARTS = {
    "bash": ("bash --norc --noprofile -i", 'eval "$(shopday completion bash)"'),
    "zsh": ("zsh -f -i", "autoload -U compinit && compinit -D -u && source <(shopday completion zsh)"),
    "fish": ("fish --no-config -i", "shopday completion fish | source"),
}
"""How a shell is started without anybody's settings, and what its user writes there once."""


def _words(*typed: str) -> list[str]:
    return [word for word, _ in completions(typed)]


def test_completion_offers_steps_that_fit_the_command(shop: Shop) -> None:
    where = ("--shop", str(shop.folder))
    every = [
        "shelf/shelf/hooks",
        "shelf/shelf/fix",
        "stool/seat/glue",
        "stool/seat/shape",
        "stool/seat/oil",
        "stool/deliver",
    ]
    assert _words(*where, "start", "") == every  # nothing was planned yet
    shop.run("today")
    assert _words(*where, "start", "") == ["stool/seat/glue"]
    assert _words(*where, "finish", "") == []
    assert _words(*where, "arrived", "") == ["shelf/shelf/hooks"]
    shop.run("start", "stool/seat/glue")
    assert _words(*where, "start", "") == []
    assert _words(*where, "finish", "sto") == ["stool/seat/glue"]
    assert _words("finish", *where, "--at", "9:00", "") == ["stool/seat/glue"]
    shop.run("finish", "stool/seat/glue", now="2026-12-01T09:00")
    assert _words(*where, "again", "") == ["stool/seat/glue"]
    (shop.folder / "shop.toml").touch()
    assert _words(*where, "start", "") == every


def test_every_command_about_a_step_has_its_states() -> None:
    assert {c.name for c in COMMANDS.values() if any(arg.name == "ADDRESS" for arg in c.args)} == set(STATES)


def test_all_other_completions_come_from_the_table(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SHOPDAY_SHOP", str(shop.folder))
    assert _words("wai") == ["waiting"]
    assert _words("plan", "--ef") == ["--effort"]
    assert _words("--json", "today", "--no") == ["--now"]
    assert _words("today", "--color", "n") == ["never"]
    assert _words("note", "sh") == ["shelf"]
    assert _words("out", "") == ["maker"]
    assert _words("schema", "log") == ["logged"]
    assert _words("completion", "") == ["bash", "zsh", "fish"]
    assert _words("schema", "dem") == []
    assert _words("help", "wai") == ["waiting"]
    assert _words("quote", "") == _words("--shop", "") == []  # the shell's own way with files
    assert (
        shop.run("completion", "words", "--json", "wai")[1]
        == "waiting\twhat is being waited on, and until when\n"
    )


def _path_with_shopday(folder: Path) -> str:
    """A PATH on which `shopday` is this very checkout; called for anything but completion it says with what."""
    folder.mkdir()
    script = folder / "shopday"
    script.write_text(
        f'#!/bin/sh\nif [ "$1" = completion ]; then exec {sys.executable} -m shopday "$@"; fi\n'
        'printf "<"; for word in "$@"; do printf "%s|" "$word"; done; printf ">\\n"\n'
    )
    script.chmod(script.stat().st_mode | stat.S_IEXEC)
    return f"{folder}{os.pathsep}{os.environ['PATH']}"


@pytest.mark.slow
@pytest.mark.parametrize("shell", SCRIPTS)
def test_a_key_completes_in_the_real_shell(shop: Shop, shell: str, tmp_path: Path) -> None:
    if shutil.which(shell) is None:
        pytest.skip(f"no {shell} here")
    shop.run("start", "stool/seat/glue", now=NOW)
    (tmp_path / "some-job.toml").write_text("")
    start, setup = STARTS[shell]
    env = {
        **os.environ, "PATH": _path_with_shopday(tmp_path / "bin"), "PYTHONPATH": str(Path(__file__).parents[2]),
        "HOME": str(tmp_path), "TERM": "xterm", "SHOPDAY_SHOP": "nowhere",
    }  # fmt: skip
    env.pop("PYTEST_CURRENT_TEST", None)
    terminal = pexpect.spawn(
        start, env=env, cwd=str(tmp_path), dimensions=(24, 120), encoding="utf-8", timeout=60
    )
    try:
        terminal.sendline(setup)
        terminal.sendline("echo re''ady")
        terminal.expect("ready")
        for typed, found in (
            ("shopday wai\t", "waiting|"),
            ("shopday today --no\t", "today|--now|"),
            (f"shopday --shop {shop.folder} finish st\t", f"--shop|{shop.folder}|finish|stool/seat/glue|"),
            ("shopday quote som\t", "quote|some-job.toml|"),
        ):
            terminal.send(typed)
            terminal.send("\r")
            terminal.expect(r"<((?:[^<>|]*\|)+)>")
            assert terminal.match[1] == found
    finally:
        terminal.close(force=True)


@pytest.mark.parametrize("shell", SCRIPTS)
def test_the_scripts_parse(shop: Shop, shell: str, tmp_path: Path) -> None:
    status, script = shop.run("completion", shell)
    assert status == 0
    if shutil.which(shell) is not None:
        file = tmp_path / "script"
        file.write_text(script)
        assert subprocess.run([shell, "-n", str(file)], check=False).returncode == 0
