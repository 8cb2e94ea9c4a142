"""Copy the demo shop so that it is in full work at this minute, whatever the date."""

from __future__ import annotations

import datetime as dt
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

from shopday.planning.encoding.open_hours import OpenHours, Zone
from shopday.planning.open_shop import OpenShop
from shopday.planning.plan import Moment
from shopday.shop.faults import ShopdayError
from shopday.shop.folder import JOBS_FOLDER, SHOP_FILE
from shopday.shop.quantities import DAY, HOUR, minutes, span_text
from shopday.shop.time_zones import is_zone, local_zone

WRITTEN_FOR = dt.date(2026, 3, 4)
"""The date that the demo's files take as today."""
FACTS_FILE = "facts.toml"
WORKED_SINCE = dt.timedelta(days=21)
"""More than enough for the hours of all the demo's work so far."""
LEAST_HOURS = 4 * HOUR
"""Minutes of shop hours that must be left today; with fewer, the copy gets extra hours."""

DAYTIME = range(7, 18)
"""Hours of the day at which the demo is shown at the present minute."""

_DATE = re.compile(r"\b20\d\d-\d\d-\d\d\b")
_ZONE = re.compile(r'^timezone = "(.*)"$', re.MULTILINE)


def copy_demo(target: Path, now: dt.datetime | None = None) -> Path:
    """Copy the demo shop into an empty or new folder, move its dates, fill its journal, and return the folder.

    now: the minute the copy is made for; the clock's when left out. The shop takes the time zone of `now`, else the
    zone of this computer, so that its clock agrees with the one on the wall. Raises ShopdayError if the folder is
    not empty.
    """
    target = Path(target)
    name = _zone_name(now)
    moment = _moment(now, name)
    try:
        if target.exists() and any(target.iterdir()):
            raise ShopdayError(f"{target} is not empty", "name a folder that is not there yet")
        _copy(target, moment.date(), name)
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise ShopdayError(f"{target} could not be made ({why})", "name a folder you may write in") from None
    _stay_open(target, moment)
    _log_facts(target, moment)
    return target


def daytime_instead(now: dt.datetime | None = None) -> dt.datetime | None:
    """Return 10:05 of the same day if `now` is outside DAYTIME; None if people are at work already. now: the
    clock's when left out."""
    moment = _moment(now, _zone_name(now))
    if moment.hour in DAYTIME:
        return None
    return moment.replace(hour=10, minute=5, second=0, microsecond=0, fold=0)


def source() -> Path:
    """Return the folder of the demo's files: inside the installed package, or beside it in a clone."""
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
    """Add shop hours for today if it is a day off or nearly over."""
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
    """Log what happened in the last days, the oldest fact first."""
    open_shop = OpenShop(target, now)
    facts = tomllib.loads((source() / FACTS_FILE).read_text("utf-8"))["facts"]
    other = [(open_shop.minute() - minutes(fact["ago"]), fact) for fact in facts if "took" not in fact]
    for minute, fact in sorted(
        [*other, *_work(open_shop, facts)], key=lambda each: (each[0], each[1]["kind"])
    ):
        details = {"expected": _workday(now.date(), fact["expected"])} if "expected" in fact else None
        open_shop.log(fact["kind"], fact["step"], open_shop.zone.moment(minute), anyway=True, details=details)


def _work(open_shop: OpenShop, facts: list[dict[str, str]]) -> Iterator[tuple[int, dict[str, str]]]:
    """The start and the finish of each piece of work, within open hours: one after another, in the order given by
    `ago`, each finished no later than that."""
    zone, now = open_shop.zone, open_shop.minute()
    hours = OpenHours(open_shop.folder.shop, zone, zone.date(now) - WORKED_SINCE, zone.date(now))
    calendar = hours.calendars[hours.open]
    first, free = calendar.starts[0], calendar.worked(now)
    for fact in sorted((fact for fact in facts if "took" in fact), key=lambda fact: minutes(fact["ago"])):
        end = min(free, calendar.worked(now - minutes(fact["ago"])))
        free = end - minutes(fact["took"])
        yield calendar.minute_at(free), fact | {"kind": "start"}
        yield calendar.finish(first, end) or now, fact


def _workday(today: dt.date, days: int) -> dt.date:
    """The day so many days from today; from a weekend the nearest workday on the same side of today."""
    date = today + dt.timedelta(days=days)
    while date.weekday() >= 5:
        date += dt.timedelta(days=1 if days > 0 else -1)
    return date


def _moment(now: dt.datetime | None, zone_name: str) -> Moment:
    """The given time, or the clock's, in this zone."""
    zone = Zone(zone_name)
    return zone.moment(zone.of(now)) if now is not None else dt.datetime.now(zone.tz)


def _zone_name(now: dt.datetime | None) -> str:
    """The zone of the given time, else this computer's, else the one written in the demo."""
    given = getattr(now.tzinfo, "key", None) if now is not None else None
    for name in (given, local_zone()):
        if name and is_zone(name):
            return name
    found = _ZONE.search((source() / SHOP_FILE).read_text("utf-8"))
    return found[1] if found else "UTC"
