"""`calendar FILE` and `sheet --html FILE` write what was meant, and over nothing else."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from cli_shop import NOW, Shop

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
COMMANDS = (["calendar"], ["sheet", "--html"])
posix = pytest.mark.skipif(sys.platform == "win32", reason="links and FIFOs as POSIX has them")


def write(shop: Shop, command: list[str], file: Path | str) -> int:
    status, out = shop.run(*command, str(file), "--effort", "0")
    assert out == "" or file == "-"
    return status


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize(
    "name", ["shop.toml", "journal.db", "jobs/stool.toml", "jobs/new.ics", ".plan.json", ".backups/x.ics"]
)
def test_no_file_of_the_shop_is_overwritten(shop: Shop, command: list[str], name: str) -> None:
    shop.run("start", "stool/seat/glue", "--effort", "0")
    before = {file: file.read_bytes() for file in shop.folder.rglob("*") if file.is_file()}
    assert write(shop, command, shop.folder / name) == 2
    assert shop.err.endswith("is a file of the shop; nothing was written, name another file\n")
    link = shop.folder.parent / "link.ics"
    link.symlink_to(shop.folder / name)
    assert write(shop, command, link) == 2
    assert {file: file.read_bytes() for file in shop.folder.rglob("*") if file.is_file()} == before


@pytest.mark.parametrize("command", COMMANDS)
def test_foreign_files_are_kept_and_own_files_replaced(
    shop: Shop, command: list[str], tmp_path: Path
) -> None:
    notes, own = tmp_path / "notes.txt", shop.folder / "own"
    notes.write_text("Ring the smith")
    assert write(shop, command, notes) == 2
    assert "is there already and is not a " in shop.err
    assert notes.read_text() == "Ring the smith"
    own.touch()
    assert write(shop, command, own) == 0
    first = own.read_bytes()
    shop.run("finish", "stool/seat/glue", "--effort", "0")
    assert write(shop, command, own) == 0
    assert own.read_bytes() != first
    assert [file.name for file in shop.folder.iterdir() if file.name.startswith(".own")] == []


@posix
@pytest.mark.parametrize("command", COMMANDS)
def test_a_link_stays_a_link_and_its_target_is_written(
    shop: Shop, command: list[str], tmp_path: Path
) -> None:
    link, real = tmp_path / "link.ics", tmp_path / "real.ics"
    link.symlink_to(real)
    assert [write(shop, command, link), write(shop, command, link)] == [0, 0]
    assert link.is_symlink()
    assert b"Milking stool" in real.read_bytes()


@posix
@pytest.mark.parametrize("command", COMMANDS)
def test_anything_but_a_file_is_a_stream(shop: Shop, command: list[str], tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    read: list[bytes] = []
    reader = threading.Thread(target=lambda: read.append(pipe.read_bytes()), daemon=True)
    reader.start()
    assert write(shop, command, pipe) == 0
    reader.join(30)
    assert b"Milking stool" in read[0]
    assert pipe.is_fifo()


@pytest.mark.parametrize("command", COMMANDS)
def test_a_dash_is_standard_output_and_a_folder_is_refused(
    shop: Shop, command: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    argv = [sys.executable, "-m", "shopday", "--shop", str(shop.folder), "--now", NOW, *command, "-"]
    said = subprocess.run(
        argv, cwd=tmp_path, env={**os.environ, "PYTHONPATH": str(ROOT)}, capture_output=True, check=True
    )
    assert b"Milking stool" in said.stdout
    assert not (tmp_path / "-").exists()
    for folder in (".", str(tmp_path)):
        assert write(shop, command, folder) == 2
        file = Path(folder, "shop.ics" if command == ["calendar"] else "sheet.html")
        assert shop.err == f"{folder} is a folder; name a file in it, such as {file}\n"


def test_with_json_the_paper_is_in_the_answer_and_the_file_too(shop: Shop, tmp_path: Path) -> None:
    for command, begins in ((["calendar"], "BEGIN:VCALENDAR"), (["sheet", "--html"], "Thistle Lane")):
        file = tmp_path / command[0]
        answer = shop.ask(*command, str(file))
        assert answer["text"].startswith(begins)
        assert answer["written"] == str(file)
        assert file.exists()
    status, out = shop.run("calendar", "--json", "--effort", "0")
    assert (status, json.loads(out)["written"]) == (0, None)
    assert shop.run("calendar", "x.ics", "--json", "--follow")[0] == 2
