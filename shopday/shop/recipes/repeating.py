"""Expands a recipe's repeated step into several steps; each follows a given moment of the one before.

Passes of one step each wait until the one before is complete; a pour may follow at firm gel, a field of oil at once.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from shopday.shop.step_graph import HANDS_OFF


def repeated(raw: Mapping[str, Any], times: int) -> Iterator[dict[str, Any]]:
    """The step `times` times. The last keeps its id, and only the last keeps the waits after the moment that the
    next one follows."""
    plain = {key: value for key, value in raw.items() if key not in ("repeat", "follows")}
    follows, id = raw.get("follows", {}), str(raw.get("id"))
    for number in range(1, times + 1):
        copy = {**plain, "id": _numbered(id, number, times)}
        if times > 1:
            copy["name"] = f"{raw.get('name', id)} ({number} of {times})"
        if number > 1:
            when = {key: follows[key] for key in ("when",) if key in follows}
            copy["after"] = [{"step": _numbered(id, number - 1, times), **when}]
            copy |= {key: follows[key] for key in ("within", "missed") if key in follows}
        if number < times:
            copy.pop("another_pass", None)
            copy["waits_up_to"] = follows.get("when", "")
        yield copy


def up_to(waits: Sequence[dict[str, Any]], name: str) -> list[dict[str, Any]]:
    """The waits up to the one of this name; all of them if there is none."""
    names = [wait["name"] for wait in waits]
    return list(waits) if name == HANDS_OFF or name not in names else list(waits[: names.index(name) + 1])


def _numbered(id: str, number: int, times: int) -> str:
    return id if number == times else f"{id}-{number}"
