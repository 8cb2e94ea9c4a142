"""The commands for odds, helps and lessons: they say the same on paper and as JSON, and mistakes in one line."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest
from chance_shops import chain, open_shop, steps
from processes import LONGEST

from shopday.__main__ import main

pytestmark = pytest.mark.slow

NOW = "2026-03-02T08:00"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    desk = 'title = "Desk [red]"\npromise = 2026-03-04\n' + chain((2, 5, 9), (3, 4, 12))
    shelf = steps('glue 4h | stations = ["bench"]')
    open_shop(tmp_path, {"desk": desk, "shelf": shelf}, "08:00-16:00", '[[stations]]\nid = "bench"\n')
    return tmp_path


def run(folder: Path, *words: str) -> int:
    return main(["--shop", str(folder), "--now", NOW, *words])


def test_odds_on_paper_and_as_json_agree(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(folder, "odds", "desk") == 0
    page = capsys.readouterr().out
    assert run(folder, "odds", "desk", "--json") == 0
    answer = json.loads(capsys.readouterr().out)
    (job,) = answer["jobs"]
    assert "Desk [red]" in page
    assert job["p50"] <= job["p80"] <= job["p95"]
    for share in ("50", "80", "95"):
        day = int(job[f"p{share}"][8:10])
        assert any(line.split()[:2] == [share, "%"] and f" {day} Mar" in line for line in page.splitlines())
    assert f"{round(100 * job['promise'])} %" in page
    assert [risk["address"] for risk in job["risks"]] == ["desk/s1", "desk/s0"]


def test_odds_tell_what_they_are_based_on(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(folder, "odds")
    page = " ".join(capsys.readouterr().out.split())
    assert "0.9 to 2.5 times the estimate; time away as 0.9 to 2.0 times" in page
    assert "500 draws" in page


def test_a_quote_has_its_safe_dates(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = folder / "stool.toml"
    file.write_text("promise = 2026-03-20\n" + chain((1, 2, 3)))
    assert run(folder, "quote", str(file), "--json") == 0
    answer = json.loads(capsys.readouterr().out)
    odds = answer["odds"]
    assert set(odds) == {"p50", "p80", "p95", "promise", "risks"}
    assert odds["p50"] <= odds["p80"] <= odds["p95"]
    assert odds["promise"] == 1
    assert run(folder, "quote", str(file)) == 0
    assert "Safe date" in " ".join(capsys.readouterr().out.split())


def test_a_quote_names_the_steps_that_make_it_uncertain(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = folder / "stool.toml"
    seat = '[[parts]]\nid = "seat"\n' + chain((1, 6, 12), (1, 1, 1)).replace("[[steps]]", "[[parts.steps]]")
    file.write_text(seat.replace('id = "s0"', 'id = "s0"\nname = "Carve [it]"'))
    assert run(folder, "quote", str(file), "--json") == 0
    risks = json.loads(capsys.readouterr().out)["odds"]["risks"]
    assert risks[0]["address"] == "stool/seat/s0"
    assert run(folder, "quote", str(file)) == 0
    page = " ".join(capsys.readouterr().out.split())
    assert f"Carve [it] (Seat) causes {round(100 * risks[0]['share'])} % of the uncertainty" in page


def test_a_quote_without_a_place_has_no_safe_date(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = folder / "stool.toml"
    file.write_text(steps("make 30h | one_sitting = true"))
    assert run(folder, "quote", str(file), "--json") == 3
    assert json.loads(capsys.readouterr().out)["odds"] is None


@pytest.mark.parametrize("command", ["odds", "helps"])
def test_an_unknown_job_is_one_line(folder: Path, capsys: pytest.CaptureFixture[str], command: str) -> None:
    assert run(folder, command, "dresk") == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.count("\n") == 1
    assert "desk" in told.err


@pytest.mark.parametrize("command", ["odds", "helps", "learned"])
def test_an_empty_shop_has_an_answer(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], command: str
) -> None:
    open_shop(tmp_path, {})
    assert run(tmp_path, command) == 0
    assert run(tmp_path, command, "--json") == 0
    assert capsys.readouterr().err == ""


def test_helps_on_paper_and_as_json_agree(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(folder, "helps", "desk", "--json") == 0
    rows = json.loads(capsys.readouterr().out)["helps"]
    assert rows
    assert [row["job"] for row in rows] == sorted((row["job"] for row in rows), reverse=True)
    assert run(folder, "helps", "desk") == 0
    page = " ".join(capsys.readouterr().out.split())
    assert "What would help Desk [red]" in page
    assert "Stopped" not in page
    assert all(row["change"] in page for row in rows)


@pytest.mark.parametrize("options", [[], ["--json"]])
def test_helps_shows_its_progress_and_when_stopped_what_was_found(folder: Path, options: list[str]) -> None:
    pexpect = pytest.importorskip("pexpect")
    call = ["-m", "shopday", "--shop", str(folder), "--now", NOW, "helps", "desk", *options]
    command = pexpect.spawn(sys.executable, [*call, "--effort", "2"], timeout=LONGEST, encoding="utf-8")
    command.expect("What would help: [0-9]+ of [0-9]+; best so far: ")
    command.sendintr()
    command.expect('"complete": false' if options else "Stopped after [0-9]+ of [0-9]+ steps")
    command.expect(pexpect.EOF)
    command.close()
    assert command.exitstatus == 130


@pytest.mark.parametrize(
    ("command", "line"),
    [
        ("odds --draws 100000", "Working out the chances, [0-9]+ of 100000 draws, [0-9]+ s so far"),
        ("plan --fresh --effort 100", "Planning, [0-9]+ s so far"),
        ("better --effort 100", "Looking for a better plan, [0-9]+ s so far"),
    ],
)
def test_long_work_says_that_it_goes_on_and_can_be_stopped(folder: Path, command: str, line: str) -> None:
    pexpect = pytest.importorskip("pexpect")
    call = ["-m", "shopday", "--shop", str(folder), "--now", NOW, *command.split()]
    told = pexpect.spawn(sys.executable, call, timeout=LONGEST, encoding="utf-8")
    told.expect(f"{line} .Ctrl.C stops")
    told.sendintr()
    told.expect(pexpect.EOF)
    told.close()
    assert told.exitstatus == 130


def test_learned_prints_the_lessons(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["--shop", str(folder), "--now", "2026-03-02T14:00", "start", "shelf/glue", "--at", "08:00"])
    main(["--shop", str(folder), "--now", "2026-03-02T14:00", "finish", "shelf/glue", "--at", "14:00"])
    capsys.readouterr()
    assert main(["--shop", str(folder), "--now", "2026-03-02T14:00", "learned"]) == 0
    assert "Glue: 6h of work where 4h was foreseen" in " ".join(capsys.readouterr().out.split())


def test_draws_and_seed_can_be_asked_for(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    answers = []
    for words in (["--draws", "40"], ["--draws", "40", "--seed", "0"], ["--draws", "40", "--seed", "7"]):
        assert run(folder, "odds", "--json", *words) == 0
        answers.append(json.loads(capsys.readouterr().out))
    assert [answer["draws"] for answer in answers] == [40, 40, 40]
    assert answers[0] == answers[1] != answers[2]


@pytest.mark.parametrize(
    "words", [["--draws", "0"], ["--draws", "many"], ["--draws", "9" * 30], ["--seed", "-1"]]
)
def test_a_wrong_number_is_one_line(
    folder: Path, capsys: pytest.CaptureFixture[str], words: list[str]
) -> None:
    assert run(folder, "odds", *words) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.count("\n") == 1
    assert "write a number from" in told.err
