"""The material book: what every maker knows about glues, resins and finishes, and a shop's own labels.

Built-in entries are data (book/materials.toml). A shop's materials.toml has the same form and overrides single
fields, or adds entries `like` an existing one. The label of the product in hand always rules.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import Any

from pydantic import TypeAdapter, ValidationError
from pydantic_core import InitErrorDetails, PydanticCustomError

from shopday.shop.book_tables import book_table
from shopday.shop.faults import suggest
from shopday.shop.models import Material, Wait
from shopday.shop.quantities import shown

LABEL_RULES = "Times of the material book are starting values: the label rules."
"""Shown wherever values of the book are shown."""

FULL_CURE = "full cure"
"""The name of the wait that only informs: when the piece can bear its full load."""

NOTED = "label, noted by the shop"

_BOOK = TypeAdapter(dict[str, Material])


def builtin_materials() -> dict[str, Material]:
    """Every built-in material by id (read once; the caller gets a dict of its own)."""
    return dict(_builtin())


def merged_materials(
    builtin: Mapping[str, Material], overrides_raw: Mapping[str, Any]
) -> dict[str, Material]:
    """The book with a shop's own values over it. overrides_raw: its materials.toml as parsed.

    Raises pydantic's ValidationError with every fault at once; each `loc` starts with the material's id.
    """
    _check(builtin, overrides_raw)
    written = {key: {"id": key, **_own(entry)} for key, entry in overrides_raw.items()}
    own = _BOOK.validate_python(written)
    likes = {key: entry.get("like", key) for key, entry in overrides_raw.items()}
    return {**builtin, **{key: _over(builtin.get(likes[key]), entry) for key, entry in own.items()}}


@cache
def _builtin() -> Mapping[str, Material]:
    raw = {key: {"id": key, **entry} for key, entry in book_table("materials").items()}
    book = _BOOK.validate_python(raw)
    return MappingProxyType({key: _with_full_cure(entry) for key, entry in book.items()})


def _with_full_cure(material: Material) -> Material:
    """Add the wait that tells of the full cure, so that a shop writes one number and not two."""
    waits = tuple(wait for wait in material.waits if wait.name != FULL_CURE)
    left = (material.full_cure or 0) - sum(wait.takes for wait in waits if not wait.informs)
    if left > 0:
        waits += (Wait(name=FULL_CURE, takes=left, informs=True, cures=True),)
    return material.model_copy(update={"waits": waits})


def _check(builtin: Mapping[str, Material], raw: Mapping[str, Any]) -> None:
    wrong = [fault for key, entry in raw.items() for fault in _faults(builtin, key, entry)]
    if wrong:
        raise ValidationError.from_exception_data("materials", wrong)


def _faults(builtin: Mapping[str, Material], key: str, entry: Any) -> list[InitErrorDetails]:
    if not isinstance(entry, dict):
        return [_fault((key,), entry, "a material is a table", "write it as [yellow-pva]")]
    like = entry.get("like", key)
    if "like" in entry and (not isinstance(like, str) or like not in builtin):
        return [_fault((key, "like"), like, *_unknown(str(like), builtin))]
    return []


def _unknown(like: str, builtin: Mapping[str, Material]) -> tuple[str, str]:
    return f"no material {shown(like)} in the built-in book", suggest(like, builtin, "leave `like` out")


def _fault(loc: tuple[str, ...], value: object, wrong: str, right: str) -> InitErrorDetails:
    error = PydanticCustomError("material", "{wrong}; {right}", {"wrong": wrong, "right": right})
    return InitErrorDetails(type=error, loc=loc, input=value)


def _own(entry: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in entry.items() if name not in ("like", "id")}


def _over(base: Material | None, own: Material) -> Material:
    """The shop's values over the entry that it changes or resembles, marked as the shop's own note."""
    fields = {name: getattr(own, name) for name in own.model_fields_set if name != "sources"}
    noted = dict.fromkeys(fields.keys() - {"id", "name", "kind"}, NOTED)
    fields["sources"] = {**(base.sources if base else {}), **noted, **own.sources}
    return _with_full_cure((base or own).model_copy(update=fields))
