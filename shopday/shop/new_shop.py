"""The first start: a few questions, and shop.toml from their answers."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Container, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from shopday.shop.editing.atomic_write import replace_file
from shopday.shop.editing.toml_format import file_text
from shopday.shop.folder import SHOP_FILE
from shopday.shop.models import WEEKDAYS
from shopday.shop.public_holidays import country_of_zone, public_holidays, read_country
from shopday.shop.time_zones import is_zone, local_zone
from shopday.shop.typed_values import field_choice, field_hours, field_list, field_whole
from shopday.shop.week_hours import parse_week
from shopday.text.names import free_slug
from shopday.text.wrong_input import WrongInput

METRIC, IMPERIAL = "metric", "imperial"
UNITS = ((METRIC, "metric: mm, kg, litres"), (IMPERIAL, "imperial: inches, lb, gallons"))
CLOCKS = (("24", "24 hours, as 14:30"), ("12", "12 hours, as 2:30 pm"))
EXAMPLE = (("no", "no: an empty shop"), ("yes", "yes: a bench to look at"))
INCHES = ("US", "LR", "MM")
"""Countries that measure wood in inches (common knowledge)."""
TWELVE_HOURS = ("US", "CA", "AU", "NZ", "IN", "PH")
"""Countries in which most people use a clock of twelve hours (common knowledge; the answer can be changed)."""


@dataclass(frozen=True)
class Question:
    """One question.

    usual:    the answer if nobody gives one.
    read:     reads an answer as a value; raises ValueError, which says what would be right. An empty answer is None.
    pickable: all possible answers, each with its meaning.
    """

    name: str
    label: str
    usual: str = ""
    hint: str = ""
    read: Callable[[str], object] = str
    pickable: tuple[tuple[str, str], ...] = ()


def questions(folder: Path) -> list[Question]:
    name = folder.resolve().name.replace("-", " ").title()
    zone = local_zone() or "UTC"
    country = country_of_zone(zone)
    return [
        Question("name", "Name of the shop", name),
        Question("maker", "Your own name", "", "or empty"),
        Question("timezone", "Time zone", zone, "America/Denver", _zone),
        Question("holidays", "Closed on holidays of", country, "DE, GB-SCT, or empty", read_country),
        _picked("units", "Units", UNITS, IMPERIAL if country in INCHES else METRIC),
        _picked("clock", "Clock", CLOCKS, "12" if country in TWELVE_HOURS else "24"),
        Question("weekdays", "Hours, Mon to Fri", "8:00-12:00, 13:00-17:00", "empty: off", field_hours),
        Question("saturday", "On Saturday", "", "9:00-13:00, or empty", field_hours),
        Question("helper", "A helper's name", "", "or empty"),
        Question("helps", "The helper is in", "", "Sat 9:00-12:00; empty: always", parse_week),
        Question("benches", "Work benches", "1", "how many", field_whole(1, 100)),
        Question("pouring", "Place for pouring", "", "casting table; empty: a bench"),
        Question("machines", "Machines", MACHINES, "with commas between", field_list),
        Question("clamps", "Long clamps", "8", "how many", field_whole(0, 1000)),
        _picked("example", "An example job", EXAMPLE, "no"),
    ]


MACHINES = "table saw, planer, router table"


def _picked(name: str, label: str, pickable: tuple[tuple[str, str], ...], usual: str) -> Question:
    values = [value for value, _ in pickable]
    return Question(name, label, usual, " or ".join(values), field_choice(*values), pickable)


def write_shop(folder: Path, answers: Mapping[str, object], today: dt.date) -> None:
    """Write shop.toml to a folder that has none, and the example job if it is wanted. Raises ShopdayError if a
    shop.toml was written meanwhile."""
    folder.mkdir(parents=True, exist_ok=True)
    replace_file(folder / SHOP_FILE, shop_file_text(answers, today).encode(), None)
    if answers.get("example") == "yes":
        from shopday.shop.example_job import write_example  # recipes take a while to load

        write_example(folder)


def shop_file_text(answers: Mapping[str, object], today: dt.date) -> str:
    """The text of shop.toml, from the answers by question name; with holidays from today to the end of next year."""
    days = {day: answers.get("weekdays") for day in WEEKDAYS[:5]} | {"saturday": answers.get("saturday")}
    hours = {day: spans for day, spans in days.items() if spans}
    bench = {"id": "bench", "name": "Bench", "count": answers.get("benches") or 1}
    clamps = {"id": "long-clamps", "name": "Long clamps", "count": answers.get("clamps") or 0}
    maker = {"name": answers["maker"]} if answers.get("maker") else {}
    closed = list(_closed(answers.get("holidays"), hours, today))
    return file_text(
        {
            "name": answers.get("name") or "My shop",
            "timezone": answers.get("timezone") or "UTC",
            "units": answers.get("units") or METRIC,
            "clock": int(str(answers.get("clock") or 24)),
            "hours": hours,
            **({"closed": closed} if closed else {}),
            "rules": {"shortest_stretch": "15m", "dust_settles": "45m"},
            "people": [{"id": "maker", **maker}, *_helper(answers.get("helper"), answers.get("helps"))],
            "stations": [bench, *_pouring(answers.get("pouring")), *_machines(answers.get("machines"))],
            "gear": [clamps],
        }
    )


def _closed(country: object, hours: Container[str], today: dt.date) -> Iterator[dict[str, object]]:
    """Holidays on days that are otherwise worked."""
    found = public_holidays(str(country), today, dt.date(today.year + 1, 12, 31)) if country else {}
    for date, why in found.items():
        if WEEKDAYS[date.weekday()] in hours:
            yield {"from": date, "why": why}


def _helper(name: object, week: object) -> Iterator[dict[str, object]]:
    if name:
        hours = {} if week is None else {"hours": week}
        yield {"id": free_slug(str(name), ("maker",)), "name": name, "role": "helper", **hours}


def _pouring(name: object) -> Iterator[dict[str, object]]:
    """A place for pouring, with the id that recipes look for before they take a bench."""
    if name:
        yield {"id": "cure-shelf", "name": str(name)[:1].upper() + str(name)[1:]}


def _machines(named: object) -> Iterator[dict[str, object]]:
    """Machines are noisy and dusty until the owner says otherwise."""
    ids = ["bench", "cure-shelf"]
    for name in named if isinstance(named, list) else []:
        ids.append(free_slug(name, ids))
        yield {"id": ids[-1], "name": name[:1].upper() + name[1:], "noisy": True, "dusty": True}


def _zone(name: str) -> str:
    if not is_zone(name):
        raise WrongInput(f"{name} is no time zone", "write it as Europe/London or America/Denver")
    return name
