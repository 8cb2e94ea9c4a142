"""How long the planner's worker is deaf: the longest stretches of CPU time between two heartbeats, per question.

Run from the repository: python tests/bench/heartbeats.py SHOP_FOLDER[@NOW] ... (a copy of each is planned; NOW else from
its now.txt, or the clock)
"""

from __future__ import annotations

import datetime as dt
import sys
import tempfile
import time
from collections.abc import Iterable
from pathlib import Path
from shutil import copytree

from shopday.app.planner_worker import planner_answers
from shopday.app.protocol import PlannerAnswer, PlannerQuestion
from shopday.planning.open_shop import OpenShop
from shopday.planning.solving.search_memory import SearchMemory
from shopday.shop.models import Job, Step

STOOL = Job(title="Stool", steps=tuple(Step(id=f"step-{n}", hands_on=90) for n in range(4)))


def told(found: Iterable[PlannerAnswer | None], what: str) -> None:
    """`heartbeats`: those that were followed by no answer. The longest stretches are of either."""
    gaps, silent, last = [], [], time.process_time()
    for answer in found:
        now = time.process_time()
        (silent if answer is None else gaps).append(1000 * (now - last))
        last = now
    long = " ".join(f"{gap:.0f}" for gap in sorted(silent, reverse=True)[:4])
    slow = " ".join(f"{gap:.0f}" for gap in sorted(gaps, reverse=True)[:4])
    print(
        f"  {what:8} {len(silent):6} heartbeats, longest {long or '-'} ms; before an answer {slow} ms",
        flush=True,
    )


def main(*shops: str) -> None:
    for name in shops:
        source, _, now = name.partition("@")
        if not now and (Path(source) / "now.txt").exists():
            now = (Path(source) / "now.txt").read_text().strip()
        with tempfile.TemporaryDirectory() as room:
            folder = Path(copytree(source, Path(room) / "shop"))
            shop = OpenShop(folder, dt.datetime.fromisoformat(now) if now else None)
            plan, memory = shop.plan(0), SearchMemory()
            print(f"{Path(source).name}: {len(plan.steps)} passes")
            told(planner_answers(shop, PlannerQuestion(1), memory), "plan")
            told(planner_answers(shop, PlannerQuestion(2), memory), "again")
            told(
                planner_answers(shop, PlannerQuestion(3, shop.plan(0), job_id="stool", job=STOOL), memory),
                "quote",
            )
            step = next(row for row in plan.steps if row.complete > shop.now())
            told(
                planner_answers(shop, PlannerQuestion(4, shop.plan(0), why=step.key, effort=0.3), memory),
                "why",
            )


if __name__ == "__main__":
    main(*sys.argv[1:])
