"""A new job left unfinished when the app was quit: kept in the shop's folder for the next start."""

from __future__ import annotations

import json
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

from shopday.app.forms.new_job_form import JobForm, PartForm
from shopday.atomic_file import put_in_place

if TYPE_CHECKING:
    from shopday.shop.recipes.recipe_library import Recipe

FILE = ".new-job.json"
TEXTS = ("title", "customer", "promise", "assembly", "wrapping", "delivery")
OF_PART = ("what", "on", "source")


def keep_draft(folder: Path, form: JobForm) -> None:
    """Write the form, or delete the file if nothing was typed. If the folder cannot be written, nothing is kept."""
    with suppress(OSError):
        if form == JobForm():
            (folder / FILE).unlink(missing_ok=True)
        else:
            put_in_place(folder / FILE, json.dumps(_written(form)).encode(), lasting=False)


def _written(form: JobForm) -> dict[str, Any]:
    parts = [
        {"recipe": part.recipe.id, "values": part.values, "bought": part.bought}
        | {name: getattr(part, name) for name in OF_PART}
        for part in form.parts
    ]
    return {name: getattr(form, name) for name in TEXTS} | {"parts": parts, "gates": sorted(form.gates)}


def kept_draft(folder: Path, recipes: Mapping[str, Recipe]) -> JobForm:
    """The form as kept, without parts whose recipe is gone; an empty form if nothing was kept or it cannot be read."""
    try:
        found = json.loads((folder / FILE).read_text("utf-8"))
        parts = [_part(each, recipes) for each in found["parts"] if each["recipe"] in recipes]
        texts = {name: str(found[name]) for name in TEXTS if name in found}
        return JobForm(**texts, parts=parts, gates=set(map(str, found["gates"])))
    except (OSError, ValueError, TypeError, KeyError):
        return JobForm()


def _part(found: Mapping[str, Any], recipes: Mapping[str, Recipe]) -> PartForm:
    values = {str(name): str(value) for name, value in found["values"].items()}
    return PartForm(
        recipes[found["recipe"]], values, bool(found["bought"]), *(str(found[name]) for name in OF_PART)
    )
