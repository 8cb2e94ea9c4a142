"""Windows and appointments that contradict each other are told as a chain, with the fields to change."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_shops import open_shop, planned, start, steps

SETS = 'waits = [{ name = "sets", takes = "2h" }]'
DRIES = 'waits = [{ name = "dries", takes = "14h" }]'


@pytest.mark.slow
@pytest.mark.parametrize(
    ("job", "step", "words"),
    [
        pytest.param(
            # Three hours and a half of b after a is over, one hour is allowed.
            (f"a 30m | {SETS}", f"b 90m | {SETS}", 'c 1h | after = [{ step = "a", within = "1h" }, "b"]'),
            "desk/c",
            [
                "C must start within 1h of A",
                "at least 3h 30m after A, with B in between",
                "2h 30m too long",
                "widen `within` of C or let it be `missed`",
            ],
            id="a window shorter than what lies between",
        ),
        pytest.param(
            # Dry between 22:30 and 7:00.
            (f"oil 30m | one_sitting = true; passes = 2; {DRIES}; next_pass = {{ within = '30m' }}",),
            "desk/oil",
            [
                "Oil (2 of 2) must start within 30m of Oil (1 of 2)",
                "no day of the next",
                "widen `next_pass.within` of Oil (2 of 2)",
                "change the hours",
            ],
            id="a night",
        ),
        pytest.param(
            ("a 1h | on = 2026-03-02T08:00:00", "b 1h | on = 2026-03-02T08:30:00; after = []"),
            "desk/b",
            ["A starts 8:00", "B starts 8:30", "both take `maker`", "30m too long", "move `on` of B"],
            id="two appointments of one maker",
        ),
        pytest.param(
            # Sure to be over by 9:00; c an hour after that at the latest, at 11:00.
            ("a 1h | on = 2026-03-02T08:00:00", "c 1h | on = 2026-03-02T11:00:00; within = '1h'"),
            "desk/c",
            ["A starts 8:00", "C starts 11:00", "within 1h of A", "move `on` of A"],
            id="a window between two appointments",
        ),
        pytest.param(
            (
                'varnish 30m | one_sitting = true; waits = [{ name = "wet", takes = "5h", still_air = true }]',
                'saw 1h | dusty = true; after = [{ step = "varnish", when = "hands-off", within = "1h" }]',
            ),
            "desk/saw",
            [
                "Saw is dusty and Varnish wants still air",
                "within 1h of the end of the work on Varnish",
                "Either way",
            ],
            id="dust in still air",
        ),
    ],
)  # fmt: skip
def test_a_contradiction_tells_its_chain_and_what_to_change(
    tmp_path: Path, job: tuple[str, ...], step: str, words: list[str]
) -> None:
    plan = planned(open_shop(tmp_path, desk=steps(*job), chair=steps("x 1h")))
    reasons = {entry.address: entry.why for entry in plan.unplaced}
    assert [word for word in words if word not in reasons[step]] == [], reasons[step]
    assert start(plan, "chair/x")
