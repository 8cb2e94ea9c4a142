"""How commands are called: options anywhere, near misses named, exit statuses, no traceback."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from cli_shop import NOW, Shop, shop_at

from shopday.__main__ import main
from shopday.cli.commands import COMMANDS


@pytest.mark.parametrize(
    ("argv", "said"),
    [
        (["plna"], "did you mean `plan`?"),
        (["today", "--efort", "1"], "did you mean `--effort`?"),
        (["start"], "ADDRESS is missing"),
        (["plan", "--effort", "much"], "write a number from 0 to 100"),
        (["plan", "--now", "yesterday"], "2026-12-01T08:00"),
        (["--now", "0001-01-01T00:00", "plan"], "years go from"),
        (["completion", "nu"], "it cannot be 'nu'; there is `bash`, `zsh`, `fish`\n"),
        (["hours", "--by", "dya"], "it cannot be 'dya'; did you mean `day`?"),
        (["--color", "yes", "today"], "there is `auto`, `always`, `never`"),
        (["sheet", "--html"], "--html wants FILE after it"),
        (["finish", "a/b", "--at", "25:00"], "--at: 25:00 is no time; write it as 8:45, -20m"),
        (["serve", "--port", "70000"], "65535"),
        (["today", "extra"], "it takes no extra"),
        (["schema", "pla"], "did you mean `plan`?"),
        (["quote", "no-such-file.toml"], "no-such-file.toml"),
    ],
)
def test_a_wrong_call_is_one_line_with_what_would_be_right(shop: Shop, argv: list[str], said: str) -> None:
    status, out = shop.run(*argv)
    assert (status, out) == (2, "")
    assert said in shop.err
    assert shop.err.count("\n") == 1


def test_global_options_stand_before_or_after_the_command(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = str(shop_at(tmp_path / "shop"))
    answers = []
    for argv in (
        ["--shop", folder, "--now", NOW, "--json", "today"],
        ["today", "--json", "--now", NOW, "--shop", folder],
        ["--json", "today", f"--shop={folder}", "--now", NOW],
    ):
        assert main(argv) == 0
        answers.append(capsys.readouterr().out)
    monkeypatch.setenv("SHOPDAY_SHOP", folder)
    assert main(["today", "--now", NOW, "--json"]) == 0
    answers.append(capsys.readouterr().out)
    assert len(set(answers)) == 1


def test_every_fault_of_a_folder_is_a_line_with_file_and_line(shop: Shop) -> None:
    job = shop.folder / "jobs" / "stool.toml"
    job.write_text(job.read_text().replace('["bench"]', '["bnech"]').replace('"3h"', '"3 hors"'))
    assert shop.run("check")[0] == 2
    checked = shop.err
    assert shop.run("plan")[0] == 3
    assert shop.err == checked
    lines = shop.err.splitlines()
    assert len(lines) == 2
    assert all(line.startswith("jobs/stool.toml:") for line in lines)
    assert "did you mean `bench`?" in shop.err


def test_check_reports_the_same_faults_as_json_and_a_broken_journal(shop: Shop) -> None:
    assert shop.run("check")[1] == "Every file is right, and every step has a place.\n"
    shop.run("start", "stool/seat/glue")
    (backup,) = (shop.folder / ".backups").glob("*.db")
    (shop.folder / "journal.db").write_bytes(b"not a journal" * 100)
    status, out = shop.run("check", "--json")
    assert status == 2
    assert '"journal.db"' in out
    assert backup.name in shop.err
    assert shop.run("restore")[0] == 0
    assert shop.run("check")[0] == 0
    assert shop.ask("today")["take_up"]["state"] == "under way"
    assert (shop.folder / "journal-broken.db").exists()


def test_help_names_every_command_and_option(shop: Shop) -> None:
    status, out = shop.run("--help")
    assert status == 0
    for command in COMMANDS.values():
        assert command.name in out
        assert command.help in out
        status, own = shop.run(command.name, "--help")
        assert status == 0
        for arg in (*command.args, *command.everywhere):
            assert arg.name in own
    assert shop.run("--version")[1].startswith("shopday ")


def _process(*argv: str, **more: str) -> subprocess.CompletedProcess[str]:
    env = {key: value for key, value in os.environ.items() if key not in ("SHOPDAY_SHOP", "COLUMNS")} | more
    return subprocess.run(
        [sys.executable, *argv],
        capture_output=True,
        text=True,
        env=env,
        stdin=subprocess.DEVNULL,
        check=False,
    )


def test_a_reader_who_stops_reading_is_no_error(tmp_path: Path) -> None:
    folder = shop_at(tmp_path / "shop")
    script = f"{sys.executable} -m shopday plan --json --shop {folder} --now {NOW} | true"
    done = _process("-c", f"import subprocess; print(subprocess.run({script!r}, shell=True).returncode)")
    assert "Traceback" not in done.stderr
    assert "BrokenPipe" not in done.stderr


def test_an_ascii_terminal_gets_an_answer(tmp_path: Path) -> None:
    folder = shop_at(tmp_path / "shop")
    done = _process("-m", "shopday", "today", "--shop", str(folder), "--now", NOW, PYTHONIOENCODING="ascii")
    assert done.returncode == 0, done.stderr
    assert "Glue up the seat" in done.stdout


@pytest.mark.slow
def test_the_demo_without_a_terminal_prints_its_day_and_what_it_waits_on(tmp_path: Path) -> None:
    done = _process("-m", "shopday", "demo", str(tmp_path / "demo"))
    assert done.returncode == 0, done.stderr
    assert "The day" in done.stdout
    assert "Waiting on" in done.stdout
