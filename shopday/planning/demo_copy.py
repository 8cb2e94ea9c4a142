"""A copy of the demo shop that is alive at this minute, whatever the date."""

from __future__ import annotations

import datetime as dt
import re
import tomllib
from pathlib import Path

from shopday.planning.encoding.open_hours import OpenHours, Zone
from shopday.planning.open_shop import OpenShop
from shopday.planning.plan import Moment
from shopday.shop.faults import ShopdayError
from shopday.shop.folder import JOBS_FOLDER, SHOP_FILE
from shopday.shop.quantities import DAY, HOUR, minutes, span_text
from shopday.shop.time_zones import is_zone, local_zone

WRITTEN_FOR = dt.date(2026, 3, 4)
"""The day that is today in the files of the demo."""
FACTS_FILE = "facts.toml"
LEAST_HOURS = 4 * HOUR
"""Minutes of shop hours that must be left today; otherwise the copy stays open longer."""

DAYTIME = range(7, 18)
"""Hours at which the demo is shown as it is at this very minute."""

_DATE = re.compile(r"\b20\d\d-\d\d-\d\d\b")
_ZONE = re.compile(r'^timezone = "(.*)"$', re.MULTILINE)


def copy_demo(target: Path, now: dt.datetime | None = None) -> Path:
    """Copy the demo shop to an empty or new folder, its dates moved and its journal filled, and return the folder.

    now: when it is to be alive; the clock when left out. The shop stands in its time zone, else in the one
    this computer is in, so that its clock is the one on the wall. Raises ShopdayError.
    """
    target = Path(target)
    if target.exists() and any(target.iterdir()):
        raise ShopdayError(f"{target} is not empty", "name a folder that is not there yet")
    name = _zone_name(now)
    moment = _moment(now, name)
    _copy(target, moment.date(), name)
    _stay_open(target, moment)
    _log_facts(target, moment)
    return target


def daytime_instead(now: dt.datetime | None = None) -> dt.datetime | None:
    """In the evening, at night and early in the morning a moment of the same day at which people are at work; None where
    that is now. now: the clock when left out."""
    moment = _moment(now, _zone_name(now))
    if moment.hour in DAYTIME:
        return None
    return moment.replace(hour=10, minute=5, second=0, microsecond=0, fold=0)


def source() -> Path:
    """The demo's files: inside the installed package, or beside it in a clone."""
    package = Path(__file__).parents[1]
    places = (package / "demo_jobs", package.parent / "demo_jobs")
    return next(place for place in places if (place / SHOP_FILE).is_file())


def _copy(target: Path, today: dt.date, zone: str) -> None:
    shift = today - WRITTEN_FOR
    (target / JOBS_FOLDER).mkdir(parents=True, exist_ok=True)
    files = [source() / SHOP_FILE, *sorted((source() / JOBS_FOLDER).glob("*.toml"))]
    for file in files:
        text = _DATE.sub(lambda found: str(dt.date.fromisoformat(found[0]) + shift), file.read_text("utf-8"))
        text = _ZONE.sub(f'timezone = "{zone}"', text).replace(_today(WRITTEN_FOR), _today(today))
        (target / file.relative_to(source())).write_text(text, "utf-8")


def _today(date: dt.date) -> str:
    return f"{date:%A} {date.day} {date:%B} {date.year}"


def _stay_open(target: Path, now: dt.datetime) -> None:
    """Hours for today where it is a day off or nearly over."""
    shop = OpenShop(target, now).folder.shop
    spans = OpenHours(shop, Zone(shop.timezone), now.date(), now.date()).shop_day(now.date())
    at = now.hour * HOUR + now.minute
    if sum(max(0, end - max(at, start)) for start, end in spans) >= LEAST_HOURS:
        return
    begin = at - at % HOUR
    before = [(start, min(end, begin)) for start, end in spans if start < begin]
    written = ", ".join(
        f'"{span_text(span)}"' for span in [*before, (begin, min(DAY, begin + LEAST_HOURS + HOUR))]
    )
    with (target / SHOP_FILE).open("a", encoding="utf-8") as file:
        file.write(f"\n[[open]]\non    = {now.date()}\nhours = [{written}]\n")


def _log_facts(target: Path, now: dt.datetime) -> None:
    """The journal of the last days, the oldest fact first."""
    open_shop = OpenShop(target, now)
    facts = tomllib.loads((source() / FACTS_FILE).read_text("utf-8"))["facts"]
    for fact in sorted(facts, key=lambda fact: -minutes(fact["ago"])):
        at = open_shop.zone.moment(open_shop.minute() - minutes(fact["ago"]))
        open_shop.log(fact["kind"], fact["step"], at, anyway=True)


def _moment(now: dt.datetime | None, zone_name: str) -> Moment:
    """Now in that zone; the clock when left out."""
    zone = Zone(zone_name)
    return zone.moment(zone.of(now)) if now is not None else dt.datetime.now(zone.tz)


def _zone_name(now: dt.datetime | None) -> str:
    """The zone of a time, else this computer's, else the one the demo is written in."""
    given = getattr(now.tzinfo, "key", None) if now is not None else None
    for name in (given, local_zone()):
        if name and is_zone(name):
            return name
    found = _ZONE.search((source() / SHOP_FILE).read_text("utf-8"))
    return found[1] if found else "UTC"
