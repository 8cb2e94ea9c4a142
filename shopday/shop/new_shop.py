"""The first start: a few questions, and shop.toml from their answers."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from shopday.shop.editing.atomic_write import replace_file
from shopday.shop.editing.toml_format import file_text
from shopday.shop.folder import SHOP_FILE
from shopday.shop.models import WEEKDAYS
from shopday.shop.time_zones import is_zone, local_zone
from shopday.shop.typed_values import field_hours, field_list, field_whole
from shopday.text.names import free_slug
from shopday.text.wrong_input import WrongInput


@dataclass(frozen=True)
class Question:
    """usual: the answer to take where nobody gives one. read: an answer as a value; raises ValueError with what would
    be right. An empty answer is None."""

    name: str
    label: str
    usual: str = ""
    hint: str = ""
    read: Callable[[str], object] = str


def questions(folder: Path) -> list[Question]:
    name = folder.resolve().name.replace("-", " ").title()
    machines = "table saw, planer, router table"
    return [
        Question("name", "Name of the shop", name),
        Question("timezone", "Time zone", local_zone() or "UTC", "America/Denver", _zone),
        Question("weekdays", "Hours, Mon to Fri", "08:00-12:00, 13:00-17:00", "empty: off", field_hours),
        Question("saturday", "On Saturday", "", "09:00-13:00, or empty", field_hours),
        Question("helper", "A helper's name", "", "or empty"),
        Question("benches", "Work benches", "1", "how many", field_whole(1, 100)),
        Question("machines", "Machines", machines, "with commas between", field_list),
        Question("clamps", "Long clamps", "8", "how many", field_whole(0, 1000)),
    ]


def write_shop(folder: Path, answers: Mapping[str, object]) -> None:
    """shop.toml in a folder that has none. Raises ShopdayError if one was written meanwhile."""
    folder.mkdir(parents=True, exist_ok=True)
    replace_file(folder / SHOP_FILE, shop_file_text(answers).encode(), None)


def shop_file_text(answers: Mapping[str, object]) -> str:
    """shop.toml from the answers by the names of their questions."""
    days = {day: answers.get("weekdays") for day in WEEKDAYS[:5]} | {"saturday": answers.get("saturday")}
    bench = {"id": "bench", "name": "Bench", "count": answers.get("benches") or 1}
    clamps = {"id": "long-clamps", "name": "Long clamps", "count": answers.get("clamps") or 0}
    return file_text(
        {
            "name": answers.get("name") or "My shop",
            "timezone": answers.get("timezone") or "UTC",
            "hours": {day: spans for day, spans in days.items() if spans},
            "rules": {"shortest_stretch": "15m", "dust_settles": "45m"},
            "people": [{"id": "maker"}, *_helper(answers.get("helper"))],
            "stations": [bench, *_machines(answers.get("machines"))],
            "gear": [clamps],
        }
    )


def _helper(name: object) -> Iterator[dict[str, object]]:
    if name:
        yield {"id": free_slug(str(name), ("maker",)), "name": name, "role": "helper"}


def _machines(named: object) -> Iterator[dict[str, object]]:
    """Machines are noisy and dusty until the owner says otherwise."""
    ids = ["bench"]
    for name in named if isinstance(named, list) else []:
        ids.append(free_slug(name, ids))
        yield {"id": ids[-1], "name": name[:1].upper() + name[1:], "noisy": True, "dusty": True}


def _zone(name: str) -> str:
    if not is_zone(name):
        raise WrongInput(f"{name} is no time zone", "write it as Europe/London or America/Denver")
    return name
