"""The shop's own materials.toml, laid over the built-in book.

An entry is a table named after the material, `[yellow-pva]`, or one of a list, `[[materials]]` with an `id`; it
changes only the fields it writes.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from pydantic import ValidationError

from shopday.shop.faults import Fault, ShopFaults
from shopday.shop.loading.error_text import objection
from shopday.shop.loading.tolerant_validation import read_model
from shopday.shop.loading.toml_positions import Path, TomlPositions
from shopday.shop.materials.material_book import builtin_materials, merged_materials
from shopday.shop.models import Material

_LIST = "materials"


def read_materials(written: TomlPositions | None) -> dict[str, Material]:
    """The book for a shop. Raises ShopFaults with all faults of its materials.toml."""
    book = builtin_materials()
    if written is None:
        return book
    entries, faults = _entries(written)
    for name, (path, entry) in entries.items():
        faults += _entry_faults(written, name, path, entry)
    if not faults:
        try:
            return merged_materials(book, {name: entry for name, (_, entry) in entries.items()})
        except ValidationError as error:
            faults += _late_faults(written, entries, error)
    raise ShopFaults(faults)


Entries = dict[str, tuple[Path, Any]]


def _entries(written: TomlPositions) -> tuple[Entries, list[Fault]]:
    """Each entry by id with its path, and faults of entries without an id."""
    data = written.data
    listed = data.get(_LIST)
    tables = {name: entry for name, entry in data.items() if not (name == _LIST and isinstance(entry, list))}
    entries: Entries = {name: ((name,), entry) for name, entry in tables.items()}
    faults = []
    for index, entry in enumerate(listed if isinstance(listed, list) else ()):
        path, name = (_LIST, index), entry.get("id") if isinstance(entry, dict) else None
        if not isinstance(name, str):
            faults.append(
                Fault(written.name, written.line(path), "a material needs `id`", 'add id = "yellow-pva"')
            )
        elif name in entries:
            wrong = f"`{name}` is there twice among the materials"
            faults.append(Fault(written.name, written.line((*path, "id")), wrong, "make it one entry"))
        else:
            entries[name] = (path, entry)
    return entries, faults


def _entry_faults(written: TomlPositions, name: str, path: Path, entry: Any) -> Iterator[Fault]:
    if not isinstance(entry, dict):
        yield Fault(written.name, written.line(path), f"`{name}` is no material", "write it as [yellow-pva]")
        return
    own = {"id": name, **{key: value for key, value in entry.items() if key != "like"}}
    for o in read_model(Material, own).objections:
        line = written.line(path if o.path == ("id",) else (*path, *o.path))
        yield Fault(written.name, line, o.wrong, o.right)
    yield from _double_waits(written, path, entry)


def _double_waits(written: TomlPositions, path: Path, entry: dict[str, Any]) -> Iterator[Fault]:
    waits = entry.get("waits", [])
    names = [w.get("name") if isinstance(w, dict) else None for w in waits] if isinstance(waits, list) else []
    for index, name in enumerate(names):
        if isinstance(name, str) and name in names[:index]:
            wrong = f"two waits are called `{name}`"
            line = written.line((*path, "waits", index, "name"))
            yield Fault(written.name, line, wrong, "give each a name of its own")


def _late_faults(written: TomlPositions, entries: Entries, error: ValidationError) -> Iterator[Fault]:
    for e in error.errors(include_url=False):
        path, entry = entries.get(str(e["loc"][0]), ((), None))
        if e["type"] == "material":
            wrong, right = e["ctx"]["wrong"], e["ctx"]["right"]
            yield Fault(written.name, written.line((*path, *e["loc"][1:])), wrong, right)
        else:
            o = objection({**e, "loc": e["loc"][1:]}, entry, Material)
            yield Fault(written.name, written.line((*path, *o.path)), o.wrong, o.right)
