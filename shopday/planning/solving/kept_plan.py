"""The kept plan: remembered with its starts in the shop's folder, so that it is kept and not made anew.

`.plan.json` can be made again from the rest of the folder; without it only the stability of the plan is lost. It
holds the newest plans, each with a mark of the state it was made for, so that undoing a fact restores the plan from
before it.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import fields, is_dataclass
from hashlib import blake2b
from typing import Any, NamedTuple

from shopday.atomic_file import put_in_place
from shopday.journal.state import Key, ShopState
from shopday.planning.plan import Moment, Plan, PlannedStep
from shopday.shop.folder import ShopFolder

PLAN_FILE = ".plan.json"
VERSION = 1
MOST = 24
"""The most plans remembered, and so the number of facts that can be undone with their plans."""


class KeptStep(NamedTuple):
    """When a pass starts, in minutes since the epoch, and who does it."""

    start: int
    people: tuple[str, ...]


class KeptPlan(NamedTuple):
    """The plan of the passes that were not begun, in the order in which they were placed.

    mark:  of the state it was made for.
    late:  ids of the jobs whose promise it breaks.
    ended: the search for it was not cut short.
    """

    mark: str
    late: frozenset[str]
    ended: bool
    steps: dict[Key, KeptStep]

    @staticmethod
    def of(plan: Plan, mark: str, ended: bool = True) -> KeptPlan:
        rows = {row.key: row for row in plan.steps}
        steps = {
            key: KeptStep(int(_planned(rows[key], plan.now).timestamp()) // 60, rows[key].people)
            for key in plan.order
            if key in rows
        }
        return KeptPlan(mark, plan.late_jobs, ended, steps)


def _planned(row: PlannedStep, now: Moment) -> Moment:
    """The start of a row; for paused work, when it goes on."""
    return row.next_work(now) if row.put_down else row.start


def mark_of(folder: ShopFolder, state: ShopState) -> str:
    """A hash of what a plan depends on, apart from the time: the shop, its live jobs, their materials, and the
    facts."""
    live = {id: job for id, job in folder.jobs.items() if job.status not in ("quote", "shelved")}
    steps = (step for job in live.values() for step in (*job.steps, *(s for p in job.parts for s in p.steps)))
    used = sorted({step.material for step in steps if step.material in folder.materials})
    written = [*live.values(), *(folder.materials[id] for id in used)]
    texts = [
        folder.shop.model_dump_json(exclude={"prices", "stock"}),
        *(model.model_dump_json() for model in written),
    ]
    return blake2b(repr((list(live), texts, _plain(state))).encode(), digest_size=12).hexdigest()


def _plain(value: Any) -> Any:
    """The value as nested lists in a fixed order, so that equal values have equal text."""
    if is_dataclass(value):
        return [(field.name, _plain(getattr(value, field.name))) for field in fields(value)]
    if isinstance(value, dict):
        return sorted((repr(key), _plain(each)) for key, each in value.items())
    if isinstance(value, set | frozenset):
        return sorted(map(repr, value))
    return [_plain(each) for each in value] if isinstance(value, list | tuple) else value


# ------------------------------------------------------------ the file


class PlanFile:
    """The plans remembered for a shop, the newest first."""

    def __init__(self, folder: ShopFolder) -> None:
        self.path = folder.path / PLAN_FILE
        self.shop = folder.shop.name
        self.known = frozenset(_addresses(folder))

    def plans(self) -> list[KeptPlan]:
        """The plans; empty if the file is missing, damaged, of another shop or of another version."""
        return self._read()[0]

    def trouble(self) -> str:
        """Why the file is not used, in a sentence; "" if it is."""
        return self._read()[1]

    def keep(self, plan: KeptPlan, on_the_wall: bool = True) -> None:
        """Put a plan first, or second behind the one on the wall. If the folder cannot be written, nothing is kept."""
        others = [other for other in self.plans() if other.mark != plan.mark]
        first = [] if on_the_wall else others[:1]
        plans = [_written(each) for each in (*first, plan, *others[len(first) :])][:MOST]
        text = json.dumps({"shopday_plan": VERSION, "shop": self.shop, "plans": plans}, separators=(",", ":"))
        with suppress(OSError):
            put_in_place(self.path, text.encode(), lasting=False)

    def _read(self) -> tuple[list[KeptPlan], str]:
        anew = "a new plan is made, and replaces it"
        try:
            found = json.loads(self.path.read_text("utf-8"))
            version = found["shopday_plan"]
            if version != VERSION:
                return [], f"{PLAN_FILE} was written by another version of the program ({version!r}); {anew}"
            plans = [_plan(each) for each in found["plans"]]
            shop = found["shop"]
        except FileNotFoundError:
            return [], ""
        except OSError as error:
            return [], f"{PLAN_FILE} cannot be read ({(error.strerror or str(error)).lower()}); {anew}"
        except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
            return [], f"{PLAN_FILE} is damaged; {anew}"
        if shop != self.shop and not all(map(self._is_of_here, plans)):
            return [], f"{PLAN_FILE} is of another shop; {anew}"
        return plans, ""

    def _is_of_here(self, plan: KeptPlan) -> bool:
        """True if most of the plan's steps are known: the shop may have been renamed."""
        known = sum(address in self.known for address, _ in plan.steps)
        return 2 * known >= len(plan.steps)


def _addresses(folder: ShopFolder) -> Iterator[str]:
    for id, job in folder.jobs.items():
        yield from (f"{id}/{step.id}" for step in job.steps)
        yield from (f"{id}/{part.id}/{step.id}" for part in job.parts for step in part.steps)


def _written(plan: KeptPlan) -> dict[str, Any]:
    steps = [[*key, step.start, list(step.people)] for key, step in plan.steps.items()]
    return {"for": plan.mark, "late": sorted(plan.late), "ended": plan.ended, "steps": steps}


def _plan(found: Any) -> KeptPlan:
    """Read a plan. Raises ValueError, TypeError or KeyError if the data is none."""
    steps = {
        _key(address, pass_no): _step(start, people) for address, pass_no, start, people in found["steps"]
    }
    mark, late, ended = found["for"], found["late"], found["ended"]
    if not isinstance(mark, str) or not _are_texts(late) or type(ended) is not bool:
        raise ValueError("no plan")
    return KeptPlan(mark, frozenset(late), ended, steps)


def _key(address: Any, pass_no: Any) -> Key:
    if not isinstance(address, str) or type(pass_no) is not int:
        raise ValueError("no pass")
    return address, pass_no


def _step(start: Any, people: Any) -> KeptStep:
    if type(start) is not int or not _are_texts(people):
        raise ValueError("no step")
    return KeptStep(start, tuple(people))


def _are_texts(value: Any) -> bool:
    return isinstance(value, list) and all(isinstance(item, str) for item in value)
