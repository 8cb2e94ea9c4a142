"""A job to look at in a new shop, made from a recipe of the book as New job would make it."""

from __future__ import annotations

from pathlib import Path

from shopday.shop.editing.file_edits import write_job
from shopday.shop.loading.folder_reader import read_folder
from shopday.shop.models import Job, Step

RECIPE = "bench-shelf"


def write_example(folder: Path) -> None:
    """Write the job into the shop's folder. Raises ShopdayError if the folder cannot be read or written."""
    from shopday.shop.recipes.recipe_library import after_all, joined, make_part, recipes

    shop, recipe = read_folder(folder), recipes(folder)[RECIPE]
    parts = joined([(recipe, make_part(recipe, RECIPE, {}, shop.shop, shop.materials))])
    deliver = Step(id="deliver", name="Deliver", hands_on=60)
    job = Job(title="Hall bench, an example", parts=parts, steps=after_all(parts, (deliver,)))
    write_job(folder / "jobs" / "example.toml", job)
