"""Every --json answer keeps the form that `shopday schema` prints."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from cli_shop import ASKED, Shop
from jsonschema import Draft202012Validator, FormatChecker

from shopday.cli.commands import COMMANDS

SAMPLES = {
    "today": [],
    "waiting": [],
    "plan": [],
    "better": [],
    "quote": ["FILE"],
    "start": ["stool/seat/glue"],
    "pause": ["stool/seat/glue"],
    "finish": ["stool/seat/glue"],
    "skip": ["stool/seat/shape"],
    "again": ["stool/seat/glue"],
    "arrived": ["shelf/shelf/hooks"],
    "tested": ["stool/seat/glue", "1h"],
    "moisture": ["stool/seat/shape", "8"],
    "ordered": ["shelf/shelf/hooks", "thu"],
    "asked": ["shelf/shelf/hooks", "fri", "--call", "thu"],
    "undo": [],
    "redo": [],
    "reading": ["12C"],
    "out": ["maker", "thu", "--hours", "09:00-12:00"],
    "import": ["TABLE"],
    "check": [],
    "restore": [],
    "sheet": [],
    "calendar": [],
    "note": ["stool"],
    "odds": [],
    "helps": ["stool"],
    "learned": [],
    "csv": [],
    "hours": ["--by", "step"],
    "costs": [],
    "status": [],
    "init": ["--defaults", "--shop", "FOLDER"],
}
NO_ANSWER = {"demo", "schema", "completion", "serve", "help", "watch"}


def test_every_command_that_answers_is_sampled() -> None:
    assert set(SAMPLES) | NO_ANSWER == set(COMMANDS)


def open_places(schema: object) -> list[object]:
    """The objects of a schema that list their properties."""
    if isinstance(schema, list):
        return [place for item in schema for place in open_places(item)]
    if not isinstance(schema, dict):
        return []
    mine = [schema] if "properties" in schema else []
    return mine + [place for item in schema.values() for place in open_places(item)]


@pytest.mark.slow
@pytest.mark.parametrize("command", SAMPLES)
def test_answers_match_their_schemas_exactly(shop: Shop, command: str, tmp_path: Path) -> None:
    shop.run("start", "stool/seat/glue", now="2026-12-01T08:00")
    if command not in ("pause", "finish"):
        shop.run("finish", "stool/seat/glue", now="2026-12-01T09:00")
    if command == "moisture":
        file = shop.folder / "jobs" / "stool.toml"
        file.write_text(file.read_text().replace('hands_on = "3h"', 'hands_on = "3h"\n  moisture = {}'))
    if command == "redo":
        shop.run("undo", now="2026-12-01T09:00")
    if command == "restore":
        (shop.folder / "journal.db").unlink()
    file = tmp_path / "boot-rack.toml"
    file.write_text(ASKED)
    (table := tmp_path / "jobs.csv").write_text("title,step,minutes\nBox,Make it,90\n")
    places = {"TABLE": str(table), "FILE": str(file), "FOLDER": str(tmp_path / "new")}
    argv = [places.get(word, word) for word in SAMPLES[command]]
    if command == "start":
        argv = ["stool/seat/shape"]
    answer = shop.ask(command, *argv, now="2026-12-01T11:00")
    status, printed = shop.run("schema", command)
    assert status == 0
    schema = json.loads(printed)
    Draft202012Validator.check_schema(schema)
    assert schema["$id"].startswith("urn:shopday:json:1:")
    for place in open_places(schema):
        place["additionalProperties"] = False
    errors = list(Draft202012Validator(schema, format_checker=FormatChecker()).iter_errors(answer))
    assert [error.message for error in errors] == []


def test_a_schema_refuses_what_is_wrong(shop: Shop) -> None:
    answer = shop.ask("plan")
    schema = json.loads(shop.run("schema", "plan")[1])
    answer["steps"][0]["state"] = "asleep"
    del answer["late"]
    assert len(list(Draft202012Validator(schema).iter_errors(answer))) == 2


def test_the_schemas_are_listed(shop: Shop) -> None:
    names = shop.run("schema")[1].split()
    assert {"plan", "quote", "today", "waiting", "logged"} <= set(names)
