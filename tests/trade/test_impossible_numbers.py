"""Impossible numbers, typed into every field of every recipe: refused at that field, with the limits."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from test_three_sets import shop_at
from test_whole_jobs import NOW

from shopday.app.forms.new_job_form import AtField, JobForm, PartForm, draft_job
from shopday.shop.measures import amount_in
from shopday.shop.recipes.recipe_library import Parameter, recipes

FOREIGN = {
    "mm": "3 kg",
    "m2": "3 mm",
    "dm2": "3 kg",
    "kg": "3 mm",
    "%": "3 C",
    "days": "3 kg",
    "workdays": "3 mm",
    "min": "3 mm",
    "": "3 mm",
}
"""By the unit of a parameter, an amount in a unit of the wrong kind."""


def impossible(parameter: Parameter) -> Iterator[str]:
    """What no parameter of this kind can be."""
    yield from (
        "many",
        "nan",
        "inf",
        "1/0",
        "0x10",
        "5 5",
        "-1",
        "-0.5",
        "99999999",
        "1e9",
        "1,000,000",
        "٣",
        "[/b]",
    )
    yield FOREIGN[parameter.unit]
    yield f"{parameter.most * 1.01 + 1:g} {parameter.unit}"
    if parameter.least > 0:
        yield from ("0", f"{parameter.least / 2:g} {parameter.unit}")
    if parameter.whole:
        yield f"{parameter.least + 0.5:g}"


@pytest.mark.parametrize("name", recipes())
@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_no_field_takes_an_impossible_number(tmp_path: Path, name: str, units: str) -> None:
    folder = shop_at(tmp_path, units).folder
    recipe = recipes()[name]
    for parameter in (p for p in recipe.parameters if p.kind == "number"):
        least, most = (
            amount_in(limit, parameter.unit, folder.shop.units) for limit in (parameter.least, parameter.most)
        )
        for typed in impossible(parameter):
            with pytest.raises(AtField) as refused:
                draft_job(
                    JobForm(title="Piece", parts=[PartForm(recipe, {parameter.id: typed})]), folder, NOW
                )
            assert (refused.value.part, refused.value.parameter) == (0, parameter.id), typed
            said = str(refused.value)
            assert said.startswith(f"{parameter.name}: "), typed
            assert f"{least} to {most}" in said, typed


@pytest.mark.parametrize("name", recipes())
def test_what_cannot_be_divided_is_a_whole_number(name: str) -> None:
    """Pieces, coats and workdays, whatever has no unit."""
    for parameter in recipes()[name].parameters:
        if parameter.kind == "number":
            assert parameter.whole is (parameter.unit in ("", "workdays"))


@pytest.mark.parametrize("name", recipes())
def test_no_field_takes_what_is_not_to_choose_from(tmp_path: Path, name: str) -> None:
    folder = shop_at(tmp_path).folder
    recipe = recipes()[name]
    for parameter in (p for p in recipe.parameters if p.kind != "number"):
        with pytest.raises(AtField, match=f"{parameter.name}: no `treacle`; ") as refused:
            draft_job(
                JobForm(title="Piece", parts=[PartForm(recipe, {parameter.id: "treacle"})]), folder, NOW
            )
        assert refused.value.parameter == parameter.id
