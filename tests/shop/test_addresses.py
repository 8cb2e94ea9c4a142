"""Which step waits for which: every default and every form of address."""

from __future__ import annotations

from pathlib import Path

import pytest
from shop_texts import STOOL, read

from shopday.shop.step_graph import Predecessor, StepGraph, expand

OTHER = """\
[[parts]]
id = "seat"
[[parts.steps]]
id = "cut"
hands_on = "1h"

[[steps]]
id = "paint"
hands_on = "1h"
waits = [{ name = "dries", takes = "4h" }]
"""


def expanded(folder: Path, after: str, step: str = "sand", other: str = OTHER) -> StepGraph:
    text = STOOL.replace(f'id = "{step}"', f'id = "{step}"\nafter = {after}')
    return expand(read(folder, {"jobs/stool.toml": text, "jobs/legs.toml": other}))


def test_without_after_a_step_follows_the_one_before(tmp_path: Path) -> None:
    before = expand(read(tmp_path, {"jobs/stool.toml": STOOL})).before
    assert {address: [p.address for p in waits] for address, waits in before.items()} == {
        "stool/seat/mill": [],
        "stool/seat/glue": ["stool/seat/mill"],
        "stool/seat/sand": ["stool/seat/glue"],
        "stool/legs/turn": [],
        "stool/assemble": ["stool/seat/sand", "stool/legs/turn"],
        "stool/deliver": ["stool/assemble"],
    }


def test_parts_without_steps_are_not_waited_for(tmp_path: Path) -> None:
    text = STOOL + '[[parts]]\nid = "empty"\n'
    before = expand(read(tmp_path, {"jobs/stool.toml": text})).before
    assert len(before["stool/assemble"]) == 2


@pytest.mark.parametrize(
    ("after", "address"),
    [
        ("[]", None),
        ('["mill"]', "stool/seat/mill"),
        ('"mill"', "stool/seat/mill"),
        ('["legs/turn"]', "stool/legs/turn"),  # a part of the same job first, though a job has this name
        ('["legs/paint"]', "legs/paint"),  # no such step in that part: the whole-job step of the job
        ('["legs/seat/cut"]', "legs/seat/cut"),
        ('["stool/legs/turn"]', "stool/legs/turn"),
    ],
)
def test_every_form_of_address_is_resolved(after: str, address: str | None, tmp_path: Path) -> None:
    waits = expanded(tmp_path, after).before["stool/seat/sand"]
    assert [p.address for p in waits] == ([address] if address else [])


def test_one_name_in_a_whole_job_step_means_a_whole_job_step(tmp_path: Path) -> None:
    waits = expanded(tmp_path, '["assemble", "seat/mill"]', "deliver").before["stool/deliver"]
    assert [p.address for p in waits] == ["stool/assemble", "stool/seat/mill"]


def test_when_and_within_are_read(tmp_path: Path) -> None:
    after = '[{ step = "glue", when = "in clamps", within = "2h" }, { step = "mill", when = "hands-off" }]'
    assert expanded(tmp_path, after).before["stool/seat/sand"] == (
        Predecessor("stool/seat/glue", "in clamps", 120),
        Predecessor("stool/seat/mill", "hands-off"),
    )


def test_when_may_name_a_wait_of_the_material(tmp_path: Path) -> None:
    text = STOOL.replace('id = "turn"', 'id = "turn"\n  material = "yellow-pva"')
    text = text.replace(
        'id = "deliver"', 'id = "deliver"\nafter = [{ step = "legs/turn", when = "in clamps" }]'
    )
    assert expand(read(tmp_path, {"jobs/stool.toml": text})).before["stool/deliver"][0].when == "in clamps"


def test_the_order_keeps_what_comes_before_before(tmp_path: Path) -> None:
    found = expanded(tmp_path, '["legs/turn", "legs/paint"]', "mill")
    rank = {address: i for i, address in enumerate(found.order)}
    assert set(rank) == set(found.steps)
    for address, waits in found.before.items():
        assert all(rank[p.address] < rank[address] for p in waits)


def test_steps_know_their_place_in_the_file(tmp_path: Path) -> None:
    steps = expand(read(tmp_path, {"jobs/stool.toml": STOOL})).steps
    assert (steps["stool/seat/glue"].part, steps["stool/seat/glue"].path) == (
        "seat",
        ("parts", 0, "steps", 1),
    )
    assert (steps["stool/deliver"].part, steps["stool/deliver"].path) == (None, ("steps", 1))
    assert all(ref.address == address for address, ref in steps.items())
