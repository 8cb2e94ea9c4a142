"""Values, tables and whole jobs as TOML that is pleasant to read and edit."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator, Mapping
from typing import Any

from pydantic import BaseModel

from shopday.shop.fields import WRITTEN
from shopday.shop.models import Job

_BARE = re.compile(r"[A-Za-z0-9_-]+", re.ASCII)
_ESCAPES = {code: f"\\u{code:04x}" for code in (*range(0x20), 0x7F)} | str.maketrans(
    {"\b": "\\b", "\t": "\\t", "\n": "\\n", "\f": "\\f", "\r": "\\r", '"': '\\"', "\\": "\\\\"}
)
"""Characters that a quoted TOML string must escape (TOML 1.0, "String")."""

_WIDE = 100
"""A list of tables longer than this is written with one entry per line."""
TABLES = ("parts", "steps")
"""Lists written as [[tables]] within a job; all others are inline."""


def plain_value(value: Any) -> Any:
    """Models and tuples as plain tables and lists, without defaults, amounts as text."""
    if isinstance(value, BaseModel):
        return plain_value(value.model_dump(by_alias=True, exclude_defaults=True, context=WRITTEN))
    if isinstance(value, Mapping):
        return {str(key): plain_value(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return [plain_value(item) for item in value]
    return value


def plain_fields(model: type[BaseModel] | None, fields: Mapping[str, Any]) -> dict[str, Any]:
    """Fields of a model (as written, or as Python values) as they are written in a file."""
    if model is None:
        return dict(plain_value(fields))
    names = {field.alias or name: name for name, field in model.model_fields.items()}
    known = {names[name]: value for name, value in fields.items() if name in names}
    partial = model.model_construct(**known)
    dumped = partial.model_dump(by_alias=True, include=set(known), context=WRITTEN, warnings=False)
    values = {
        name: plain_value(fields[name])
        if _is_model(fields[name])
        else plain_value(dumped.get(name, fields[name]))
        for name in fields
    }
    return {name: _short_after(value) if name == "after" else value for name, value in values.items()}


def _is_model(value: Any) -> bool:
    return isinstance(value, BaseModel) or (
        isinstance(value, (list, tuple)) and any(isinstance(item, BaseModel) for item in value)
    )


def job_fields(job: Job) -> dict[str, Any]:
    """A job as it is written in its file."""
    fields: dict[str, Any] = plain_value(job)
    for part, data in zip(job.parts, fields.get("parts", []), strict=True):
        data["steps"] = [step_fields(step) for step in part.steps]
    if job.steps:
        fields["steps"] = [step_fields(step) for step in job.steps]
    return fields


def step_fields(step: BaseModel) -> dict[str, Any]:
    """A step as it is written in a file: `hands_on` wherever it is required, `after` in its short form."""
    fields: dict[str, Any] = plain_value(step)
    if not {"hands_on", "away", "arrives"} & fields.keys():
        names = list(fields)
        at = names.index("name") + 1 if "name" in fields else 1
        items = list(fields.items())
        fields = dict([*items[:at], ("hands_on", "0m"), *items[at:]])
    if "after" in fields:
        fields["after"] = _short_after(fields["after"])
    return fields


def _short_after(value: Any) -> Any:
    if not isinstance(value, list):
        return value
    return [item["step"] if isinstance(item, dict) and item.keys() == {"step"} else item for item in value]


def job_text(fields: Mapping[str, Any]) -> str:
    """A whole job file."""
    own = "\n".join(_own_lines(fields, ""))
    return "\n\n".join(block for block in (own, *_below(fields, (), "")) if block) + "\n"


def file_text(fields: Mapping[str, Any]) -> str:
    """Any other file: plain values first, then every table as [table] and every list of tables as [[tables]]."""
    blocks = ["\n".join(_own_lines({k: v for k, v in fields.items() if not _has_header(v)}, ""))]
    for name, value in fields.items():
        if isinstance(value, Mapping):
            blocks.append("\n".join([f"[{key_text(name)}]", *_own_lines(value, "")]))
        elif _has_header(value):
            blocks += [table_text((name,), entry, "") for entry in value]
    return "\n\n".join(blocks) + "\n"


def _has_header(value: Any) -> bool:
    return isinstance(value, Mapping) or (
        isinstance(value, list) and bool(value) and all(isinstance(entry, Mapping) for entry in value)
    )


def table_text(names: tuple[str, ...], fields: Mapping[str, Any], indent: str) -> str:
    """One [[entry]] and what belongs to it, without a line break at the end."""
    header = ".".join(map(key_text, names))
    lines = [f"{indent}[[{header}]]", *_own_lines(fields, indent)]
    return "\n\n".join(["\n".join(lines), *_below(fields, names, indent + "  ")])


def _own_lines(fields: Mapping[str, Any], indent: str) -> list[str]:
    return [
        f"{indent}{key_text(k)} = {value_text(v, indent)}" for k, v in fields.items() if not _is_tables(k, v)
    ]


def _below(fields: Mapping[str, Any], names: tuple[str, ...], indent: str) -> Iterator[str]:
    for key, value in fields.items():
        if _is_tables(key, value):
            yield from (table_text((*names, key), entry, indent) for entry in value)


def _is_tables(key: str, value: Any) -> bool:
    return key in TABLES and isinstance(value, list)


def value_text(value: Any, indent: str = "") -> str:
    """A value on one line, or a long list of tables with one entry per line."""
    if isinstance(value, Mapping):
        inner = ", ".join(f"{key_text(k)} = {value_text(v)}" for k, v in value.items())
        return f"{{ {inner} }}" if inner else "{}"
    if isinstance(value, (list, tuple)):
        return _list_text(value, indent)
    if isinstance(value, bool):
        return str(value).lower()
    return _scalar(value)


def _list_text(value: list[Any] | tuple[Any, ...], indent: str) -> str:
    items = [value_text(item) for item in value]
    line = f"[{', '.join(items)}]"
    if len(line) <= _WIDE or not any(isinstance(item, Mapping) for item in value):
        return line
    return "[\n" + "".join(f"{indent}  {item},\n" for item in items) + f"{indent}]"


def _scalar(value: Any) -> str:
    if isinstance(value, str):
        return f'"{value.translate(_ESCAPES)}"'
    return value.isoformat() if isinstance(value, (dt.date, dt.time)) else repr(value)


def key_text(key: str) -> str:
    return key if _BARE.fullmatch(key) else _scalar(key)
