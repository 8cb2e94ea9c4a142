"""Validation that collects all faults: each wrong value is reported and set aside, and reading continues.

What was set aside is remembered; nothing is reported that may only follow from it.
"""

from __future__ import annotations

import copy
import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Generic, TypeVar

from pydantic import BaseModel, ValidationError

from shopday.shop.faults import Fault
from shopday.shop.fields import WRITTEN
from shopday.shop.loading.error_text import Objection, model_at, objection
from shopday.shop.loading.toml_positions import Path, TomlPositions
from shopday.text.names import slug

M = TypeVar("M", bound=BaseModel)

_ROUNDS = 6
_STAND_INS: dict[str, Any] = {
    "name": "?",
    "step": "?",
    "timezone": "UTC",
    "takes": "0m",
    "adds": "0m",
    "count": 1,
    "day": "20C",
    "night": "20C",
    "from": dt.date(2026, 1, 1),
    "on": dt.date(2026, 1, 1),
    "rule": "FREQ=DAILY",
    "hours": [],
}


@dataclass(frozen=True)
class ValidatedModel(Generic[M]):
    """A model of what could be read (None: almost nothing), and what could not."""

    value: M | None
    objections: tuple[Objection, ...] = ()
    touched: frozenset[Path] = field(default_factory=frozenset)

    @cached_property
    def _around(self) -> frozenset[Path]:
        return frozenset(path[:length] for path in self.touched for length in range(len(path) + 1))

    def is_touched(self, path: Path, *names: str) -> bool:
        """True if something was set aside at or below this path (or these fields of it), or the path lies within it."""
        paths = [(*path, name) for name in names] or [path]
        return any(
            p in self._around or any(p[:length] in self.touched for length in range(len(p))) for p in paths
        )


@dataclass(frozen=True)
class SourceFile(Generic[M]):
    """A file and what could be read of it."""

    written: TomlPositions
    mended: ValidatedModel[M]

    def fault(self, path: Path, wrong: str, right: str = "") -> Fault:
        return Fault(self.written.name, self.written.line(path), wrong, right)

    def objections(self) -> Iterator[Fault]:
        for o in self.mended.objections:
            yield self.fault(o.path, o.wrong, o.right)


def read_source(model: type[M], written: TomlPositions) -> SourceFile[M]:
    return SourceFile(written, read_model(model, written.data))


def read_model(model: type[M], data: dict[str, Any]) -> ValidatedModel[M]:
    """Validate the contents of a file; paths in the result lead into `data`."""
    try:
        return ValidatedModel(model.model_validate(data, context=WRITTEN, by_alias=True, by_name=False))
    except ValidationError as error:
        return _mend(model, data, error)


def _mend(model: type[M], data: dict[str, Any], error: ValidationError) -> ValidatedModel[M]:
    errors = error.errors(include_url=False)
    found = [objection(e, data, model) for e in errors]
    touched = frozenset(tuple(key for key in e["loc"] if key != "[key]") for e in errors)
    rest = copy.deepcopy(data)
    for _ in range(_ROUNDS):
        for loc in _last_first(error):
            _set_aside(model, rest, loc)
        try:
            value = model.model_validate(rest, context=WRITTEN, by_alias=True, by_name=False)
            return ValidatedModel(value, tuple(found), touched)
        except ValidationError as again:
            error = again
    return ValidatedModel(None, tuple(found), touched)


def _last_first(error: ValidationError) -> list[Path]:
    """Later list items first, so that removing one moves no other that is still to be removed."""
    places = {e["loc"] for e in error.errors(include_url=False, include_context=False, include_input=False)}
    return sorted(places, key=lambda loc: [(isinstance(k, str), str(k).zfill(9)) for k in loc], reverse=True)


def _set_aside(model: type[BaseModel], data: Any, loc: Path) -> None:
    """Remove the value at a location, or put a stand-in if there must be one."""
    loc = tuple(key for key in loc if key != "[key]")
    holder = data
    for depth, key in enumerate(loc[:-1]):
        below = _at(holder, key)
        if not isinstance(below, (dict, list)):
            return _put(model, holder, loc[: depth + 1])
        holder = below
    return _put(model, holder, loc)


def _at(holder: Any, key: str | int) -> Any:
    try:
        return holder[key]
    except (KeyError, IndexError, TypeError):
        return None


def _put(model: type[BaseModel], holder: Any, loc: Path) -> None:
    key = loc[-1]
    if isinstance(holder, dict) and isinstance(key, str):
        stand_in = _stand_in(model, loc, holder.get(key))
        holder.pop(key, None)
        if stand_in is not None:
            holder[key] = stand_in
    elif isinstance(holder, list) and isinstance(key, int) and key < len(holder):
        if loc[-2] in ("steps", "parts") and not isinstance(holder[key], dict):
            holder[key] = {"id": f"unread-{key}"}
        else:
            del holder[key]


def _stand_in(model: type[BaseModel], loc: Path, written: Any) -> Any:
    owner = model_at(model, loc[:-1])
    fields = {f.alias or n: f for n, f in owner.model_fields.items()} if owner else {}
    name = str(loc[-1])
    if name not in fields or not fields[name].is_required():
        return None
    if name == "id":
        return (slug(written) if isinstance(written, str) else "") or "unread-" + "-".join(map(str, loc[:-1]))
    return _STAND_INS.get(name)
