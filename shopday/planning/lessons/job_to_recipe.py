"""Save a finished job as a recipe in the shop's folder, with the times it really took."""

from __future__ import annotations

import re
from collections import defaultdict
from pathlib import Path
from typing import TYPE_CHECKING

from shopday.planning.lessons.learned_lessons import learned_lessons
from shopday.shop.editing.atomic_write import replace_file
from shopday.shop.faults import ShopdayError, suggest
from shopday.shop.folder import RECIPES_FOLDER
from shopday.shop.loading.toml_files import require_inside
from shopday.shop.recipes.recipe_library import save_recipe

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop

_NAME = re.compile(r"[a-z0-9][a-z0-9-]{0,59}")


def actual_times(open_shop: OpenShop, job: str) -> dict[str, int]:
    """Minutes worked per pass, for each step with logged starts and finishes, by address.

    The mean over its passes, each without the extra time that is written for later passes.
    """
    measured: dict[str, list[int]] = defaultdict(list)
    for lesson in learned_lessons(open_shop.folder, open_shop.state(), open_shop.minute()):
        for case in lesson.cases if lesson.of == "work" else ():
            ref = open_shop.expansion.steps[case.address]
            if ref.job == job:
                measured[case.address].append(max(1, case.actual - (case.estimate - ref.step.hands_on)))
    return {address: round(sum(each) / len(each)) for address, each in measured.items()}


def keep_recipe(open_shop: OpenShop, job: str, name: str) -> Path:
    """Write recipes/NAME.toml from a job and return its path. Overwrites nothing. Raises ShopdayError if it cannot
    be written."""
    jobs = open_shop.folder.jobs
    open_shop.folder.require_read(job)
    if job not in jobs:
        raise ShopdayError(f"no job `{job}`", suggest(job, jobs))
    return _put(open_shop, name, save_recipe(jobs[job], actual_times(open_shop, job)))


def _put(open_shop: OpenShop, name: str, text: str) -> Path:
    if not _NAME.fullmatch(name):
        raise ShopdayError(f"`{name}` cannot name a recipe", "use a-z, 0-9 and -")
    path = open_shop.path / RECIPES_FOLDER / f"{name}.toml"
    require_inside(path, f"{RECIPES_FOLDER}/{path.name}", open_shop.path)
    try:
        path.parent.mkdir(exist_ok=True)
    except OSError as error:
        raise ShopdayError(f"{RECIPES_FOLDER} could not be made ({error.strerror})") from None
    replace_file(path, text.encode(), None)
    return path
