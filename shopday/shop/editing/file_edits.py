"""Changes to the owner's files that keep comments, order and line endings.

Nothing is written that could not be read again, and nothing over somebody else's change.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from shopday.shop.days_out import without
from shopday.shop.editing.atomic_write import replace_file
from shopday.shop.editing.toml_editor import TomlDraft
from shopday.shop.editing.toml_format import job_fields, job_text, plain_fields, plain_value, step_fields
from shopday.shop.faults import Fault, ShopdayError, ShopFaults
from shopday.shop.fields import WRITTEN
from shopday.shop.folder import JOBS_FOLDER, MATERIALS_FILE, SHOP_FILE
from shopday.shop.loading.error_text import model_at
from shopday.shop.loading.tolerant_validation import read_source
from shopday.shop.loading.toml_files import decoded, parsed_toml, read_bytes, require_inside
from shopday.shop.loading.toml_positions import Path as Where
from shopday.shop.loading.toml_positions import TomlPositions
from shopday.shop.materials.own_materials import read_materials
from shopday.shop.models import Job, Material, Out, Shop, Step

_BOM = b"\xef\xbb\xbf"


@contextmanager
def edit(path: Path, seen: bytes | None = None) -> Iterator[TomlDraft]:
    """A draft of a file, saved if the block ends without an error and something has changed.

    seen: what the file held when the person last looked at it, if that is earlier than this call. Raises
    ShopdayError if the file was changed meanwhile, ShopFaults if the requested change is wrong.
    """
    name = _name(path)
    raw = read_bytes(path, name, _folder(path))
    if seen is not None and seen != raw:
        raise ShopdayError(
            f"{name} was changed by somebody else meanwhile", "nothing was written, look at it again first"
        )
    text = decoded(raw, name)
    crlf = text.count("\r\n") == text.count("\n") > 0
    plain = text.replace("\r\n", "\n") if crlf else text
    parsed_toml(plain, name)
    draft = TomlDraft(plain)
    yield draft
    if draft.text != plain:
        _check(draft, name)
        changed = draft.text.replace("\n", "\r\n") if crlf else draft.text
        replace_file(path, _BOM * raw.startswith(_BOM) + changed.encode(), raw)


def _name(path: Path) -> str:
    return f"{JOBS_FOLDER}/{path.name}" if path.parent.name == JOBS_FOLDER else path.name


def _folder(path: Path) -> Path:
    return path.parent.parent if path.parent.name == JOBS_FOLDER else path.parent


def _model(name: str) -> type[Shop] | type[Job]:
    return Shop if name == SHOP_FILE else Job


def _check(draft: TomlDraft, name: str) -> None:
    try:
        draft.check()
    except ShopdayError as error:
        raise ShopdayError(error.wrong, error.right, name) from None
    _require_good(name, draft.text, draft.data)


def _require_good(name: str, text: str, data: dict[str, Any]) -> None:
    if name == MATERIALS_FILE:
        read_materials(TomlPositions(name, text, data))
        return
    model: type[BaseModel] = _model(name)
    if faults := list(read_source(model, TomlPositions(name, text, data)).objections()):
        raise ShopFaults(Fault(f.file, None, f.wrong, f.right) for f in faults)


def write_job(path: Path, job: Job) -> None:
    """Write a new job file; never over an existing one."""
    fields = job_fields(job)
    text = job_text(fields)
    name = _name(path)
    _require_good(name, text, parsed_toml(text, name))
    require_inside(path, name, _folder(path))
    try:
        path.parent.mkdir(exist_ok=True)
    except OSError as error:
        raise ShopdayError(f"{path.parent} cannot be made ({error.strerror})", "make it by hand") from None
    replace_file(path, text.encode(), None)


def set_fields(path: Path, where: Where, fields: Mapping[str, Any], seen: bytes | None = None) -> None:
    """Set fields of one table of shop.toml or of a job; None removes a field.

    `where` names the table with ids or indices: () is the file itself, ("gear", "long-clamps") a kind of gear,
    ("parts", "top", "steps", "glue") a step. Values are as in files, or as in the models.
    """
    values = plain_fields(model_at(_model(_name(path)), _indices(where)), fields)
    with edit(path, seen) as draft:
        _require_people(draft, where)
        for field, value in values.items():
            draft.put(where, field, value)


def _require_people(draft: TomlDraft, where: Where) -> None:
    """Write the maker that a shop.toml without people implies, before anything is written about people."""
    if where[:1] == ("people",) and "people" not in draft.data:
        draft.insert(("people",), {"id": "maker"})


def _indices(where: Where) -> Where:
    """A place with its ids replaced by indices, for looking up its model."""
    return tuple(0 if i % 2 else key for i, key in enumerate(where))


def set_job_fields(path: Path, fields: Mapping[str, Any], seen: bytes | None = None) -> None:
    """Set title, customer, promise, begin, weight or status of a job."""
    set_fields(path, (), fields, seen)


def _step_place(part: str | None, step: str) -> Where:
    """Where a step is in a job file."""
    return ("steps", step) if part is None else ("parts", part, "steps", step)


def set_step_fields(
    path: Path, part: str | None, step: str, fields: Mapping[str, Any], seen: bytes | None = None
) -> None:
    """Set fields of one step."""
    set_fields(path, _step_place(part, step), fields, seen)


def insert_step(path: Path, part: str | None, step: Step, index: int | None = None) -> None:
    """Add a step to a part, or to the whole job: at the end, or before the one at `index`."""
    with edit(path) as draft:
        draft.insert(_step_place(part, "")[:-1], step_fields(step), index)


def move_step(path: Path, part: str | None, step: str, index: int) -> None:
    """Move a step among those of its part; `index` is counted without it."""
    with edit(path) as draft:
        draft.move(_step_place(part, step), index)


def remove_step(path: Path, part: str | None, step: str, seen: bytes | None = None) -> None:
    with edit(path, seen) as draft:
        draft.remove(_step_place(part, step))


def set_table(path: Path, name: str, fields: Mapping[str, Any], seen: bytes | None = None) -> None:
    """Set fields of a table of shop.toml ([hours], [rules], [temperature]), which is created if missing."""
    values = plain_fields(model_at(Shop, (name,)), fields)
    with edit(path, seen) as draft:
        draft.table(name, values)


def set_litre_prices(path: Path, prices: Mapping[str, Any], seen: bytes | None = None) -> None:
    """Set what a litre of a material costs, by its id; None removes a price."""
    with edit(path, seen) as draft:
        if "litre" in draft.data.get("prices", {}):
            for material, price in prices.items():
                draft.put(("prices", "litre"), material, price)
        else:
            draft.table("prices", {"litre": dict(prices)})


def add_entry(path: Path, group: Where, fields: Mapping[str, Any], seen: bytes | None = None) -> None:
    """Add an entry to a list of shop.toml: ("closed",), or ("people", "sam", "out")."""
    values = plain_fields(model_at(Shop, _indices(group)), fields)
    with edit(path, seen) as draft:
        _require_people(draft, group)
        draft.insert(group, values)


def remove_entry(path: Path, group: Where, which: str | int, seen: bytes | None = None) -> None:
    """Remove an entry from a list of shop.toml, by its id or its index."""
    with edit(path, seen) as draft:
        draft.remove((*group, which))


def end_out(path: Path, person: str, first: dt.date, last: dt.date) -> None:
    """Write to shop.toml that a person is in from `first` to `last`, whatever days out it has."""
    where = "people", person, "out"
    with edit(path) as draft:
        written = draft.at(draft.path(where[:-1])).get("out", [])
        out = [Out.model_validate(entry, context=WRITTEN, by_alias=True) for entry in written]
        for place in reversed(range(len(out))):
            _replace(draft, where, place, without(out[place], first, last))


def _replace(draft: TomlDraft, where: Where, place: int, pieces: tuple[Out, ...]) -> None:
    """Replace the entry at a place by its pieces."""
    if not pieces:
        draft.remove((*where, place))
        return
    draft.put((*where, place), "from", pieces[0].first)
    draft.put((*where, place), "to", pieces[0].last)
    for piece in pieces[1:]:
        draft.insert(where, plain_value(piece), place + 1)


def set_material(path: Path, id: str, fields: Mapping[str, Any]) -> None:
    """Set fields of a material in materials.toml; file and entry are created if missing."""
    values = plain_fields(Material, fields)
    if not path.exists():
        draft = TomlDraft("")
        draft.table(id, values)
        _check(draft, path.name)
        replace_file(path, draft.text.encode(), None)
        return
    with edit(path) as draft:
        listed = draft.data.get("materials")
        if isinstance(listed, list) and any(entry.get("id") == id for entry in listed):
            for field, value in values.items():
                draft.put(("materials", id), field, value)
        else:
            draft.table(id, values)
