"""A finished job put into the shop's folder as a recipe, with the times it really took."""

from __future__ import annotations

import re
from collections import defaultdict
from pathlib import Path
from typing import TYPE_CHECKING

from shopday.planning.lessons.learned_lessons import learned_lessons
from shopday.shop.editing.atomic_write import replace_file
from shopday.shop.faults import ShopdayError, suggest
from shopday.shop.loading.toml_files import require_inside
from shopday.shop.recipes.recipe_library import RECIPES_FOLDER, save_recipe

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop

_NAME = re.compile(r"[a-z0-9][a-z0-9-]{0,59}")


def actual_times(workshop: OpenShop, job: str) -> dict[str, int]:
    """Minutes at work on a pass of each step with logged start and finish, by address.

    Of several passes the mean; what a later pass takes extra is taken off first.
    """
    measured: dict[str, list[int]] = defaultdict(list)
    for lesson in learned_lessons(workshop.folder, workshop.state(), workshop.minute()):
        for case in lesson.cases if lesson.of == "work" else ():
            ref = workshop.expansion.steps[case.address]
            if ref.job == job:
                measured[case.address].append(max(1, case.actual - (case.estimate - ref.step.hands_on)))
    return {address: round(sum(each) / len(each)) for address, each in measured.items()}


def keep_recipe(workshop: OpenShop, job: str, name: str) -> Path:
    """Write recipes/NAME.toml from a job; raises ShopdayError where that cannot be, and overwrites nothing."""
    jobs = workshop.folder.jobs
    workshop.folder.require_read(job)
    if job not in jobs:
        raise ShopdayError(f"no job `{job}`; {suggest(job, jobs)}")
    return _put(workshop, name, save_recipe(jobs[job], actual_times(workshop, job)))


def _put(workshop: OpenShop, name: str, text: str) -> Path:
    if not _NAME.fullmatch(name):
        raise ShopdayError(f"`{name}` cannot name a recipe; use a-z, 0-9 and -")
    path = workshop.path / RECIPES_FOLDER / f"{name}.toml"
    require_inside(path, f"{RECIPES_FOLDER}/{path.name}", workshop.path)
    try:
        path.parent.mkdir(exist_ok=True)
    except OSError as error:
        raise ShopdayError(f"{RECIPES_FOLDER} could not be made ({error.strerror})") from None
    replace_file(path, text.encode(), None)
    return path
