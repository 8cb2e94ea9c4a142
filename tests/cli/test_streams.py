"""Odd streams, terminals, paths and dates: no traceback, and what was logged is said to be logged."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from cli_shop import NOW, Shop
from jsonschema import Draft202012Validator

from shopday.journal.journal import Journal

ROOT = Path(__file__).parents[2]
posix = pytest.mark.skipif(sys.platform == "win32", reason="streams as POSIX has them")
SHOPDAY = f"exec {sys.executable} -m shopday"


def in_shell(shop: Shop, call: str, streams: str = "", **env: str) -> subprocess.CompletedProcess[str]:
    """A command as a shell starts it, with its streams led elsewhere."""
    script = f"{SHOPDAY} --shop '{shop.folder}' --now {NOW} {call} {streams}"
    settings = {**os.environ, "PYTHONPATH": str(ROOT), "COLUMNS": "80", **env}
    return subprocess.run(["sh", "-c", script], env=settings, capture_output=True, text=True, timeout=120)


def logged(shop: Shop) -> list[str]:
    return [fact.kind for fact in Journal(shop.folder / "journal.db").check()]


@posix
@pytest.mark.slow
@pytest.mark.parametrize("more", ["", "--json"])
def test_a_fact_counts_as_logged_even_if_nothing_can_be_printed(shop: Shop, more: str) -> None:
    start = f"start stool/seat/glue --effort 0 {more}"
    found = in_shell(shop, start, ">/dev/full")
    assert (found.returncode, logged(shop)) == (0, ["start"])
    assert found.stderr == (
        "It is written down, but the answer could not be given: no space left on device\n"
    )
    for n, streams in enumerate((">&-", ">&- 2>&-", ">/dev/full 2>/dev/full"), 1):
        found = in_shell(shop, "undo --effort 0", streams)
        assert (found.returncode, found.stderr) == (0, "")
        assert in_shell(shop, "redo --effort 0").returncode == 0
        assert logged(shop) == ["start", *["undo", "redo"] * n]


@posix
@pytest.mark.slow
def test_a_question_that_cannot_be_answered_fails(shop: Shop) -> None:
    found = in_shell(shop, "today --effort 0", ">/dev/full")
    assert (found.returncode, found.stderr) == (2, "shopday: No space left on device\n")


@posix
@pytest.mark.slow
@pytest.mark.parametrize(
    "call", ["today --effort 0", "", "check", "plan --json --effort 0", "--help", "calendar"]
)
@pytest.mark.parametrize("streams", ["<&-", ">&-", "2>&-", "<&- >&- 2>&-"])
def test_closed_streams_cause_no_traceback(shop: Shop, call: str, streams: str) -> None:
    found = in_shell(shop, call, streams)
    assert (found.returncode, found.stderr) == (0, "")
    assert (found.stdout == "") == (">&-" in streams.replace("2>&-", ""))


@posix
@pytest.mark.slow
@pytest.mark.parametrize("columns", ["²", "-3", "0", "9" * 12, "wide", ""])
def test_an_invalid_width_is_ignored(shop: Shop, columns: str) -> None:
    usual = in_shell(shop, "today --effort 0").stdout
    found = in_shell(shop, "today --effort 0", COLUMNS=columns, LINES=columns)
    assert (found.returncode, found.stdout) == (0, usual)


@pytest.mark.parametrize(
    "argv", [["quote", "."], ["restore", "."], ["calendar", "."], ["sheet", "--html", "."], ["demo", "taken"]]
)
def test_a_wrong_kind_of_path_is_refused_in_one_line(
    shop: Shop, argv: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "taken").write_text("a file")
    status, out = shop.run(*argv)
    assert (status, out, shop.err.count("\n")) == (2, "", 1)


@pytest.mark.slow
@pytest.mark.parametrize(
    "now", ["9999-12-30T08:00", "9998-12-30T08:00", "0001-01-01T00:00", "1969-12-31T23:00"]
)
@pytest.mark.parametrize(
    "argv",
    [["today"], ["waiting"], ["plan"], ["check"], ["odds"], ["calendar"], ["sheet"], ["csv"], ["out", "maker"],
     ["start", "stool/seat/glue"], ["reading", "12C"]],
)  # fmt: skip
def test_a_date_at_the_end_of_the_calendar_is_answered_or_refused_in_a_line(
    shop: Shop, argv: list[str], now: str
) -> None:
    effort = [] if argv[0] in ("csv", "check", "reading") else ["--effort", "0"]
    status, _ = shop.run(*argv, *effort, now=now)
    assert status in (0, 3) or (status == 2 and shop.err.count("\n") == 1), shop.err
    assert "Traceback" not in shop.err


def test_a_promise_and_a_fact_at_the_end_of_the_calendar_are_handled(shop: Shop) -> None:
    job = shop.folder / "jobs" / "stool.toml"
    job.write_text(job.read_text().replace("promise = 2026-12-03", "promise = 2199-12-31"))
    for argv in (["plan", "--json"], ["odds", "--json"], ["calendar"]):
        assert shop.run(*argv, "--effort", "0")[0] == 0, shop.err
    assert shop.run("start", "stool/seat/glue", "--at", "9999-12-31T23:59", "--effort", "0")[0] == 2
    assert shop.err.count("\n") == 1


@pytest.mark.parametrize(
    "argv",
    [["plan"], ["start", "stool/glu"], ["restore"], ["plan", "--frsh"], ["note", "nobody"], ["nothing"]],
)
def test_with_json_a_fault_is_json_too(shop: Shop, argv: list[str]) -> None:
    if argv == ["plan"]:
        (shop.folder / "shop.toml").write_text("name = 3\n")
    status, out = shop.run(*argv, "--json")
    found = json.loads(out)
    assert (status, found["shopday"]) == (2, 1)
    assert len(found["faults"]) == shop.err.count("\n") >= 1
    assert list(Draft202012Validator(json.loads(shop.run("schema", "faults")[1])).iter_errors(found)) == []
    if argv == ["plan"]:
        assert found["faults"][0]["file"] == "shop.toml"
        assert found["faults"][0]["line"] == 1


def test_a_fault_of_the_journal_names_its_file_and_its_remedy_as_fields(shop: Shop) -> None:
    (shop.folder / "journal.db").write_bytes(b"not a journal" * 100)
    status, out = shop.run("plan", "--json")
    (fault,) = json.loads(out)["faults"]
    assert (status, fault["file"], fault["wrong"]) == (
        2,
        "journal.db",
        "it is damaged (file is not a database)",
    )
    assert fault["right"].startswith("there is no good backup; `shopday restore` saves")
    assert shop.err == f"journal.db: {fault['wrong']}; {fault['right']}\n"
