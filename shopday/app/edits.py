"""Edits of a file's text that keep every comment and the order of what they do not touch."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

import tomlkit
from tomlkit import TOMLDocument
from tomlkit.items import AoT

from shopday.shop.faults import ShopdayError

Fields = Mapping[str, object]
"""Values by field name; None takes the field out."""


def set_step(text: str, part: str | None, step: str, fields: Fields) -> str:
    """A job file with fields of one step changed."""
    document = tomlkit.parse(text)
    holder: Any = document if part is None else _named(document.get("parts", ()), part)
    _set(_named(holder.get("steps", ()), step), fields)
    return tomlkit.dumps(document)


def set_job(text: str, fields: Fields) -> str:
    """A job file with fields of the job itself changed; a new one comes before the parts."""
    return _set_top(tomlkit.parse(text), fields)


def set_in(text: str, table: str, fields: Fields) -> str:
    """A file with fields of one of its tables changed; the table is made when it is not there."""
    document = tomlkit.parse(text)
    if table not in document:
        document[table] = tomlkit.table()
    _set(document[table], fields)
    return tomlkit.dumps(document)


def set_at(text: str, array: str, place: int, fields: Fields) -> str:
    """A file with fields of one entry of a list of tables changed; one past the end is added."""
    document = tomlkit.parse(text)
    entries: Any = document.setdefault(array, tomlkit.aot())
    if place >= len(entries):
        entries.append(tomlkit.table() if isinstance(entries, AoT) else tomlkit.inline_table())
        place = len(entries) - 1
    _set(entries[place], fields)
    return tomlkit.dumps(document)


def drop_at(text: str, array: str, place: int) -> str:
    """A file without one entry of a list of tables."""
    document = tomlkit.parse(text)
    entries: Any = document.get(array, [])
    if place >= len(entries):
        raise ShopdayError("that is no longer in the file")
    del entries[place]
    if not entries:
        del document[array]
    return tomlkit.dumps(document)


def _set_top(document: TOMLDocument, fields: Fields) -> str:
    """New plain fields must stand before the first table, or they would belong to it."""
    new = {name: value for name, value in fields.items() if name not in document and value is not None}
    _set(document, {name: value for name, value in fields.items() if name not in new})
    lines = "".join(f"{name} = {tomlkit.item(value).as_string()}\n" for name, value in new.items())
    text = tomlkit.dumps(document)
    at = _first_table(text)
    return text[:at] + lines + ("\n" if lines and at < len(text) else "") + text[at:]


def _first_table(text: str) -> int:
    at = 0
    for line in text.splitlines(keepends=True):
        if line.lstrip().startswith("["):
            return at
        at += len(line)
    return at


def _set(table: Any, fields: Fields) -> None:
    for name, value in fields.items():
        if value is None:
            table.pop(name, None)
        else:
            table[name] = value


def _named(entries: Iterable[Any], id: str) -> Any:
    for entry in entries:
        if entry.get("id") == id:
            return entry
    raise ShopdayError(f"there is no `{id}` in the file any more")
