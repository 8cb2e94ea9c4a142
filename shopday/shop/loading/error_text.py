"""Validation errors in the owner's words: what is wrong, and what would be right."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple, get_args

from pydantic import BaseModel
from pydantic_core import ErrorDetails

from shopday.shop.faults import nearest
from shopday.shop.loading.field_examples import EXAMPLES, NOUNS
from shopday.shop.loading.toml_positions import Path
from shopday.shop.quantities import shown
from shopday.text.names import slug
from shopday.text.wrong_input import wrong_and_right


class Objection(NamedTuple):
    """One thing wrong at a path of a file. kind: the model's word for it."""

    path: Path
    kind: str
    wrong: str
    right: str


def objection(error: ErrorDetails, data: Any, model: type[BaseModel]) -> Objection:
    """An error of pydantic's, reworded. data: what was validated."""
    loc, kind = error["loc"], error["type"]
    wrong, right = _words(error, model)
    return Objection(_written(loc, data), kind, wrong, right)


def _words(error: ErrorDetails, model: type[BaseModel]) -> tuple[str, str]:
    loc, kind = error["loc"], error["type"]
    if kind == "extra_forbidden":
        return _extra(loc, model)
    if kind == "missing":
        return _missing(loc, model)
    if kind == "value_error":
        wrong, right = wrong_and_right(error["ctx"]["error"])
        return f"`{_name(loc)}`: {wrong}", right
    if kind == "literal_error":
        return _choice(loc, error)
    if kind == "string_pattern_mismatch":
        return _bad_id(error["input"])
    return _wrong_value(loc, error, model)


def _extra(loc: Path, model: type[BaseModel]) -> tuple[str, str]:
    owner = model_at(model, loc[:-1])
    known = list(field_names(owner)) if owner else []
    near = nearest(str(loc[-1]), known)
    noun = NOUNS.get(owner.__name__, "this") if owner else "this"
    right = f"did you mean `{near}`?" if near else "take it out"
    return f"{noun} has no field `{loc[-1]}`", right


def _missing(loc: Path, model: type[BaseModel]) -> tuple[str, str]:
    owner = model_at(model, loc[:-1])
    if isinstance(loc[-1], int) or owner is None:
        name = _name(loc)
        return f"`{name}` is too short", f"write {EXAMPLES.get(name, 'all of it')}"
    noun = NOUNS.get(owner.__name__, "this")
    return f"{noun} needs `{loc[-1]}`", f"add {EXAMPLES.get(str(loc[-1]), 'it')}"


def _choice(loc: Path, error: ErrorDetails) -> tuple[str, str]:
    expected = error["ctx"]["expected"].replace("'", '"')
    given = error["input"]
    near = (
        nearest(given, expected.replace(" or ", ", ").replace('"', "").split(", "))
        if isinstance(given, str)
        else None
    )
    right = f'did you mean "{near}"?' if near else f"write {expected}"
    if loc[-1] == "[key]":
        return f"no weekday `{given}`", right
    return f"`{_name(loc)}`: {shown_value(given)} is not one of its values", right


def _bad_id(given: str) -> tuple[str, str]:
    fit = slug(given)
    return f"{shown(given)} is no id", "use a-z, 0-9 and -" + (f", as `{fit}`" if fit else "")


_KINDS = {
    "bool_type": ("true or false", "write true or false, without quotes"),
    "int_type": ("a whole number", "write a whole number, without quotes"),
    "float_type": ("a number", "write a number, without quotes"),
    "finite_number": ("a number", "write a number, without quotes"),
    "date_type": ("a date", "write it as 2026-12-19, without quotes"),
    "datetime_type": ("a date with a time", "write it as 2026-12-19T10:00:00, without quotes"),
    "string_type": ("text", "write text in quotes"),
}


def _wrong_value(loc: Path, error: ErrorDetails, model: type[BaseModel]) -> tuple[str, str]:
    name, kind, given = _name(loc), error["type"], shown_value(error["input"])
    if kind in _KINDS:
        noun, right = _KINDS[kind]
        owner = model_at(model, loc[:-1])
        own = EXAMPLES.get(f"{owner.__name__}.{name}") if owner else None
        return f"`{name}`: {given} is not {noun}", f"{right}, as {own}" if own else right
    if limit := _limit(error):
        return f"`{name}`: {given} is out of range", f"write {limit}"
    example = EXAMPLES.get(name)
    right = f"write {example}" if example else "see how the other entries are written"
    return f"`{name}`: {given} is not written as it should be", right


def _limit(error: ErrorDetails) -> str | None:
    ctx = error.get("ctx", {})
    words = {"ge": "at least", "le": "at most", "gt": "more than", "lt": "less than"}
    for key, word in words.items():
        if key in ctx:
            return f"{word} {ctx[key]}"
    if error["type"] == "string_too_long":
        return f"at most {ctx['max_length']} characters"
    return None


def shown_value(value: Any) -> str:
    """A value of a file, shortened for a message."""
    if isinstance(value, str):
        return shown(value)
    if isinstance(value, Mapping):
        return "a table"
    if isinstance(value, (list, tuple)):
        return "a list"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, (dt.date, dt.time)):
        return value.isoformat()
    return shown(str(value)).strip('"')


def _name(loc: Path) -> str:
    names = [key for key in loc if isinstance(key, str) and key != "[key]"]
    return names[-1] if names else "this"


def _written(loc: Path, data: Any) -> Path:
    """The longest beginning of a location that exists in the file."""
    path: Path = ()
    for key in loc:
        try:
            data = data[key]
        except (KeyError, IndexError, TypeError):
            break
        path = (*path, key)
    return path


def model_at(model: type[BaseModel], loc: Path) -> type[BaseModel] | None:
    """The model at a location below another model."""
    current: type[BaseModel] | None = model
    for key in loc:
        if isinstance(key, int):
            continue
        if current is None:
            return None
        field = next((f for n, f in current.model_fields.items() if key in (f.alias or n, n)), None)
        current = next(_models_in(field.annotation), None) if field else None
    return current


def _models_in(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for argument in get_args(annotation):
        yield from _models_in(argument)


def field_names(model: type[BaseModel]) -> Iterator[str]:
    """The names of fields as they are written in files."""
    for name, field in model.model_fields.items():
        yield field.alias or name
