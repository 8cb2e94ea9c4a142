"""shopday/FORMAT.md names every field a person may write."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from pydantic import BaseModel

from shopday.shop import models

FORMAT = (Path(__file__).parents[2] / "shopday" / "FORMAT.md").read_text("utf-8")
PROSE = re.sub(r"```.*?```", "", FORMAT, flags=re.DOTALL)
CODE = set(re.findall(r"[a-z0-9_]+", " ".join(re.findall(r"`[^`\n]+`", PROSE))))

FILES = (models.Shop, models.Job, models.Material)


def models_of(model: type[BaseModel], seen: set[type[BaseModel]]) -> set[type[BaseModel]]:
    """A model and all that stand inside it."""
    if model in seen:
        return seen
    seen.add(model)
    for name in re.findall(r"models\.(\w+)", str({n: f.annotation for n, f in model.model_fields.items()})):
        inner = getattr(models, name, None)
        if isinstance(inner, type) and issubclass(inner, BaseModel):
            models_of(inner, seen)
    return seen


@pytest.mark.parametrize("file", FILES, ids=lambda model: model.__name__)
def test_the_format_names_every_field(file: type[BaseModel]) -> None:
    found = models_of(file, set())
    assert len(found) > (5 if file is not models.Material else 1)
    fields = {field.alias or name for model in found for name, field in model.model_fields.items()}
    assert fields - CODE == set()
