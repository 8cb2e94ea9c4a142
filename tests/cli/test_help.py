"""Help, the man page, `init`, and how answers are shown: colour, quiet, a page at a time."""

from __future__ import annotations

import io
import os
import pty
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from cli_shop import NOW, Shop, shop_at

from shopday.cli.commands import COMMANDS, EVERYWHERE, STATUSES
from shopday.cli.completion import completions
from shopday.cli.examples import EXAMPLES
from shopday.cli.parser import parse
from shopday.shop.loading.folder_reader import read_folder

pytestmark = pytest.mark.slow


def test_every_help_has_examples_that_can_be_typed_and_every_exit_status(shop: Shop) -> None:
    assert set(EXAMPLES) == {"", *COMMANDS}
    for name in COMMANDS:
        status, said = shop.run("help", name)
        assert status == 0
        assert said == shop.run(name, "--help")[1]
        assert all(meaning in " ".join(said.split()) for meaning in COMMANDS[name].statuses.values())
        for typed, _ in EXAMPLES[name]:
            assert typed in said
            parse(shlex.split(re.split("[<>)]", typed.split("shopday ", 1)[1])[0]))
    assert all(meaning in " ".join(shop.run("help")[1].split()) for meaning in STATUSES.values())
    assert STATUSES[3] not in " ".join(shop.run("help", "completion")[1].split())
    assert shop.run("help")[1] == shop.run("--help")[1]
    assert shop.run("help", "plna")[0] == 2
    assert "did you mean `plan`?" in shop.err


def test_a_help_shows_no_option_that_means_nothing_to_the_command(shop: Shop) -> None:
    for name, without in {"schema": "--shop --now --json", "demo": "--shop", "serve": "--json"}.items():
        shown = {
            line.split()[0] for line in shop.run(name, "--help")[1].splitlines() if line.startswith("  --")
        }
        assert "--color" in shown
        assert not shown & set(without.split())
        assert not set(without.split()) & {word for word, _ in completions([name, "--"])}
    assert "--json" in shop.run("today", "--help")[1].split()
    assert shop.run("schema", "today", "--json")[0] == 0


def test_the_man_page_has_the_whole_table_and_no_troff_fault(shop: Shop) -> None:
    status, page = shop.run("help", "--man")
    assert status == 0
    plain = page.replace("\\-", "-").replace("\\&", "").replace("\\e", "\\")
    for command in COMMANDS.values():
        assert f".SS {command.name}" in plain
        assert all(arg.name in plain for arg in (*command.args, *EVERYWHERE))
    if (groff := shutil.which("groff")) is not None:
        done = subprocess.run(
            [groff, "-man", "-ww", "-Tascii", "-z"], input=page, text=True, capture_output=True, check=False
        )
        assert (done.returncode, done.stderr) == (0, "")


def test_init_asks_what_the_first_start_asks(
    tmp_path: Path, shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "bench-shop"
    answers = [
        *("Adze & [Awl]", "Ada", "Middle/Earth", "Europe/London", "XX", "DE-BY", "inch", "imperial", "12"),
        *("", "", "Zoë", "Sat 9:00-12:00", "", "", "Table saw, Band saw", "-", "yes"),
    ]
    monkeypatch.setattr(sys, "stdin", io.StringIO("\n".join(answers) + "\n"))
    status, out = shop.run("init", "--shop", str(folder))
    assert status == 0, shop.err
    assert str(folder / "shop.toml") in out
    assert "Middle/Earth is no time zone" in shop.err
    made = read_folder(folder).shop
    assert (made.name, made.timezone) == ("Adze & [Awl]", "Europe/London")
    assert [station.id for station in made.stations] == ["bench", "table-saw", "band-saw"]
    assert [person.name for person in made.people] == ["Ada", "Zoë"]
    assert "XX is no country whose holidays are known" in shop.err
    assert "write metric or imperial" in shop.err
    assert "Epiphany" in {off.why for off in made.closed}  # a holiday in Bavaria, and not in all of Germany
    assert (made.units, made.clock) == ("imperial", 12)
    assert list(read_folder(folder).jobs) == ["example"]
    assert shop.run("init", "--shop", str(folder))[0] == 2
    assert "there already" in shop.err


def test_init_with_defaults_asks_nothing_and_half_the_answers_write_nothing(
    tmp_path: Path, shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO("My shop\n"))
    assert shop.run("init", "--shop", str(tmp_path / "half"))[0] == 2
    assert not (tmp_path / "half").exists()
    assert shop.run("today", "--shop", str(tmp_path))[0] == 2
    assert "shopday init" in shop.err
    assert shop.run("init", "--defaults", "--json", "--shop", str(tmp_path / "whole"))[0] == 0
    assert shop.run("check", "--shop", str(tmp_path / "whole"))[0] == 0


def test_quiet_answers_only_by_the_exit_status(shop: Shop, tmp_path: Path) -> None:
    assert shop.run("start", "stool/seat/glue", "--quiet") == (0, "")
    assert shop.err == ""
    assert shop.ask("today")["take_up"]["state"] == "under way"
    assert shop.run("--quiet", "calendar", str(tmp_path / "shop.ics")) == (0, "")
    assert shop.err == ""
    assert shop.run("finish", "stool/seat/nail", "--quiet") == (2, "")
    assert "did you mean" in shop.err


def _on_a_terminal(folder: Path, *argv: str, **more: str) -> str:
    """What a command prints on a terminal of 24 lines."""
    ours, theirs = pty.openpty()
    env = {**os.environ, "TERM": "xterm", "LINES": "24", "COLUMNS": "80", **more}
    call = [sys.executable, "-m", "shopday", "--shop", str(folder), "--now", NOW, *argv]
    process = subprocess.Popen(call, stdin=theirs, stdout=theirs, stderr=theirs, env=env)
    os.close(theirs)
    found = b""
    try:
        while piece := os.read(ours, 4096):
            found += piece
    except OSError:  # so a terminal ends
        pass
    os.close(ours)
    assert process.wait() == 0, found
    return found.decode()


def test_a_long_answer_goes_to_the_pager_and_colours_are_as_asked(tmp_path: Path) -> None:
    folder = shop_at(tmp_path / "shop")
    assert "PAGED" in _on_a_terminal(folder, "plan", PAGER="sed s/Milking/PAGED/")
    assert "PAGED" not in _on_a_terminal(folder, "better", PAGER="sed s/./PAGED/")
    assert "\x1b[3" in _on_a_terminal(folder, "today")
    assert "\x1b[3" not in _on_a_terminal(folder, "today", "--color", "never")
    call = [
        sys.executable,
        "-m",
        "shopday",
        "--shop",
        str(folder),
        "--now",
        NOW,
        "today",
        "--color",
        "always",
    ]
    assert b"\x1b[3" in subprocess.run(call, stdout=subprocess.PIPE, check=True).stdout


@pytest.mark.parametrize(
    "typed", ["2pm", "2:00 pm", "14:00", "2 P.M.", "2026-12-01T14:00", "-1h", "Tue 14:00", "1 Dec 14:00"]
)
def test_times_are_read_as_people_write_them(shop: Shop, typed: str) -> None:
    assert shop.run("start", "stool/seat/glue", "--at", typed, now="2026-12-01T15:00")[0] == 0
    assert shop.ask("csv", now="2026-12-01T15:00")["rows"][0]["time"].startswith("2026-12-01T14:00")


def test_a_twelve_hour_clock_is_used_everywhere(shop: Shop) -> None:
    file = shop.folder / "shop.toml"
    file.write_text(file.read_text().replace("[hours]", "clock = 12\n[hours]", 1))
    said = shop.run("today")[1]
    assert "12:00 pm–1:00 pm" in said
    assert "1:00 pm" in shop.run("waiting", now="2026-12-01T13:00")[1]
    file.write_text(file.read_text().replace("clock = 12", "clock = 24"))
    assert "12:00–13:00" in shop.run("today")[1]
