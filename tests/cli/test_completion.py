"""The completion scripts, run in the shells that are here."""

from __future__ import annotations

import os
import shutil
import stat
import subprocess
import sys
from pathlib import Path

import pytest
from cli_shop import Shop

from shopday.cli.commands import COMMANDS


def _path_with_shopday(folder: Path) -> str:
    """A PATH on which `shopday` is this very checkout."""
    folder.mkdir()
    script = folder / "shopday"
    script.write_text(f'#!/bin/sh\nexec {sys.executable} -m shopday "$@"\n')
    script.chmod(script.stat().st_mode | stat.S_IEXEC)
    return f"{folder}{os.pathsep}{os.environ['PATH']}"


@pytest.mark.slow
@pytest.mark.skipif(shutil.which("bash") is None, reason="no bash")
@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        (["shopday", "wai"], ["waiting"]),
        (["shopday", "plan", "--ef"], ["--effort"]),
        (["shopday", "--json", "today", "--no"], ["--now"]),
        (["shopday", "finish", "stool/seat/g"], ["stool/seat/glue"]),
        (["shopday", "note", "sh"], ["shelf"]),
        (["shopday", "completion", "z"], ["zsh"]),
        (["shopday", "schema", "wai"], ["waiting"]),
    ],
)
def test_bash_completes(shop: Shop, tmp_path: Path, typed: list[str], offered: list[str]) -> None:
    words = " ".join(f"'{word}'" for word in typed)
    script = (
        f"{shop.run('completion', 'bash')[1]}\nCOMP_WORDS=({words}); COMP_CWORD={len(typed) - 1}\n"
        '_shopday; printf "%s\\n" "${COMPREPLY[@]}"'
    )
    env = {**os.environ, "PATH": _path_with_shopday(tmp_path / "bin"), "SHOPDAY_SHOP": str(shop.folder)}
    env["PYTHONPATH"] = str(Path(__file__).parents[2])
    done = subprocess.run(["bash", "-c", script], capture_output=True, text=True, env=env, check=False)
    assert done.stdout.split() == offered, done.stderr


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_scripts_know_every_command_and_parse(shop: Shop, shell: str, tmp_path: Path) -> None:
    status, script = shop.run("completion", shell)
    assert status == 0
    assert all(name in script for name in COMMANDS)
    if shutil.which(shell) is not None:
        file = tmp_path / "script"
        file.write_text(script)
        assert subprocess.run([shell, "-n", str(file)], check=False).returncode == 0
