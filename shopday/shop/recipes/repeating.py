"""Expands a recipe's step into several: repetitions that follow one another, and shares of what is too long for one
sitting.

Passes of one step each wait until the one before is complete; a pour may follow at firm gel, a field of oil at once,
and a coat may be de-nibbed before the next one.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from shopday.shop.step_graph import HANDS_OFF

MOST_PASSES = 100
"""As a step of a job has at most."""
_OF_REPEATING = ("repeat", "follows", "in_between", "recoat")
_OF_THE_FIRST = ("within", "missed", "recoat", "moisture", "setup")
"""What only the first share of a step keeps."""
_OF_THE_LAST = ("waits_until", "another_pass", "costs")
_DIVIDED = ("hands_on", "covers", "litres", "spreading")


def repeated(raw: Mapping[str, Any], times: int, between: int) -> Iterator[dict[str, Any]]:
    """The step `times` times, the last `between` of them each after the step that is to be done in between.

    The last keeps its id, and only the last keeps the waits after the moment that the next one follows. A window of
    `recoat` is that of whatever comes next after a coat.
    """
    if "repeat" not in raw:
        yield dict(raw)
        return
    plain = {key: value for key, value in raw.items() if key not in _OF_REPEATING}
    for number in range(1, times + 1):
        lead = _after_one(raw, _numbered(plain, number - 1, times)) if number > 1 else {}
        if number > max(1, times - between):
            middle = {key: value for key, value in raw["in_between"].items() if key != "times"}
            middle |= lead | _called(middle, number - (times - between), between)
            yield middle
            lead = {"after": [{"step": middle["id"]}]}
        earlier = _earlier(raw) if number < times else {}
        copy = {**plain, **_called(plain, number, times), **lead, **earlier}
        yield {key: value for key, value in copy.items() if value is not None}


def _after_one(raw: Mapping[str, Any], before: str) -> dict[str, Any]:
    """What the step has that comes next after one repetition."""
    follows = raw.get("follows", {})
    when = {key: follows[key] for key in ("when",) if key in follows}
    lead = {"after": [{"step": before, **when}]}
    lead |= {key: follows[key] for key in ("within", "missed") if key in follows}
    return lead | ({"recoat": raw["recoat"], "coated": raw.get("material")} if "recoat" in raw else {})


def _earlier(raw: Mapping[str, Any]) -> dict[str, Any]:
    """What a repetition before the last has otherwise; None: not at all."""
    when = raw.get("follows", {}).get("when")
    return {"another_pass": None} | ({"waits_until": None} if when is None else {"waits_up_to": when})


def sitting_count(minutes: int, longest: int, pieces: int) -> int:
    """In how many sittings work is done, none longer than `longest` (minutes), and of whole pieces if one fits."""
    each = minutes / pieces
    count = math.ceil(pieces / (longest // each)) if each <= longest else pieces * math.ceil(each / longest)
    return min(MOST_PASSES, count)


def in_sittings(raw: Mapping[str, Any], count: int) -> Iterator[dict[str, Any]]:
    """The step as `count` equal sittings: passes, or steps of their own if something waits after each."""
    if count == 1 or not {"material", "waits"} & raw.keys():
        once = {"passes": count, "hands_on": _share(raw["hands_on"], count)} if count > 1 else {}
        yield {**raw, **once}
        return
    shares = {key: _share(raw[key], count) for key in _DIVIDED if key in raw}
    for number in range(1, count + 1):
        dropped = _OF_THE_FIRST * (number > 1) + _OF_THE_LAST * (number < count)
        copy = {key: value for key, value in raw.items() if key not in dropped} | shares
        copy |= {"one_sitting": "one_sitting" in raw, "id": _share_id(raw, number, count)}
        copy["name"] = f"{raw.get('name', raw.get('id'))}, share {number} of {count}"
        if number > 1:
            copy["after"] = [{"step": _share_id(raw, number - 1, count), "when": HANDS_OFF}]
        yield copy


def _share_id(raw: Mapping[str, Any], number: int, count: int) -> str:
    return str(raw.get("id")) + f"-share-{number}" * (number < count)


def _share(amount: Any, count: int) -> str:
    return f"({amount}) / {count}"


def up_to(waits: Sequence[dict[str, Any]], name: str) -> list[dict[str, Any]]:
    """The waits up to the one of this name; all of them if there is none."""
    names = [wait["name"] for wait in waits]
    return list(waits) if name == HANDS_OFF or name not in names else list(waits[: names.index(name) + 1])


def _called(raw: Mapping[str, Any], number: int, times: int) -> dict[str, Any]:
    named = {"name": f"{raw.get('name', raw.get('id'))} ({number} of {times})"} if times > 1 else {}
    return {"id": _numbered(raw, number, times)} | named


def _numbered(raw: Mapping[str, Any], number: int, times: int) -> str:
    id = str(raw.get("id"))
    return id if number == times else f"{id}-{number}"
