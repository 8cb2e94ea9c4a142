"""Random shop folders: a plain function of a seed, with everything a shop may ask for turning up somewhere."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from random import Random
from typing import Any

import tomlkit

Table = dict[str, Any]

ZONES = ("Europe/Lisbon", "America/Chicago", "Australia/Hobart", "Asia/Kolkata", "Atlantic/Azores")
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
DAY_HOURS = (
    ["07:30-11:30", "12:15-16:30"],
    ["09:00-12:30", "13:00-18:00"],
    ["08:00-10:00", "10:20-13:00", "14:00-17:00"],
    ["18:00-21:30"],
    ["06:00-24:00"],
)
SEASONS = (
    (2027, 3, 20),
    (2027, 10, 24),
    (2027, 3, 8),
    (2027, 4, 1),
    (2027, 10, 1),
    (2027, 6, 7),
)
"""Around clock changes of the zones above, and one time far from any."""

SAWING = ["bandsaw-bay", "jointer", "lathe"]
FINE = ["assembly-table", "carving-post"]
STATIONS: list[Table] = [
    {"id": "bandsaw-bay", "noisy": True, "dusty": True},
    {"id": "jointer", "noisy": True, "dusty": True},
    {"id": "lathe", "dusty": True},
    {"id": "assembly-table", "count": 2},
    {"id": "carving-post"},
    {"id": "oil-nook", "room": "loft"},
    {"id": "drying-rack", "count": 3, "room": "loft"},
]
GEAR: list[Table] = [
    {"id": "sash-cramps", "count": 7},
    {"id": "spring-clips", "count": 20},
    {"id": "caul-pairs", "count": 3},
]


def shop_files(seed: int, steps: int | None = None) -> tuple[dict[str, str], dt.datetime]:
    """The texts of a shop folder by path, and a local moment to plan at. `steps`: about how many."""
    return _Writer(Random(seed), steps).files()


def write_shop(folder: Path, seed: int, steps: int | None = None) -> dt.datetime:
    """Write the shop of a seed into a folder; the local moment to plan at."""
    files, now = shop_files(seed, steps)
    for path, text in files.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_text(text, encoding="utf-8")
    return now


def _span(minutes: int) -> str:
    hours, rest = divmod(minutes, 60)
    return f"{hours}h {rest}m" if hours and rest else f"{hours}h" if hours else f"{rest}m"


class _Writer:
    def __init__(self, random: Random, steps: int | None) -> None:
        self.random = random
        self.today = dt.date(*random.choice(SEASONS)) + dt.timedelta(days=random.randrange(7))
        self.left = steps or random.choice([4, 8, 15, 30, 60])
        self.two_people = False
        self.addresses: list[tuple[str, list[str]]] = []
        """Steps written so far, with the names of their waits."""

    def chance(self, odds: float) -> bool:
        return self.random.random() < odds

    def minutes(self, low: int, high: int, grain: int = 5) -> str:
        return _span(self.random.randrange(low, high + 1, grain))

    def date(self, first: int, last: int) -> dt.date:
        return self.today + dt.timedelta(days=self.random.randint(first, last))

    def files(self) -> tuple[dict[str, str], dt.datetime]:
        files = {"shop.toml": tomlkit.dumps(self.shop())}
        number = 0
        while self.left > 0:
            number += 1
            name = f"piece-{number}"
            files[f"jobs/{name}.toml"] = tomlkit.dumps(self.job(name))
        minute = self.random.choice([0, 7 * 60 + 40, 9 * 60, 12 * 60 + 5, 16 * 60 + 29, 23 * 60 + 59])
        return files, dt.datetime.combine(self.today, dt.time(minute // 60, minute % 60))

    # ------------------------------------------------------------ the shop

    def shop(self) -> Table:
        days = self.random.sample(WEEKDAYS, self.random.randint(2, 7))
        usual = self.random.choice(DAY_HOURS)
        shop: Table = {
            "name": "Shop of the seed",
            "timezone": self.random.choice(ZONES),
            "hours": {d: usual if self.chance(0.7) else self.random.choice(DAY_HOURS) for d in days},
            "rules": self.rules(),
            "stations": [dict(station, name=station["id"].title()) for station in STATIONS],
            "gear": GEAR,
        }
        if self.chance(0.5):
            first = self.date(1, 12)
            shop["closed"] = [{"from": first, "to": first + dt.timedelta(days=self.random.randint(0, 4))}]
        if self.chance(0.5):
            dates = {self.date(0, 14) for _ in range(2)}
            shop["open"] = [{"on": d, "hours": self.random.choice(DAY_HOURS)} for d in sorted(dates)]
        if self.chance(0.4):
            shop["temperature"] = {
                "day": f"{self.random.randint(15, 26)}C",
                "night": f"{self.random.randint(3, 18)}C",
            }
        if self.chance(0.7):
            shop["people"] = self.people()
        return shop

    def rules(self) -> Table:
        rules: Table = {}
        if self.chance(0.6):
            rules["shortest_stretch"] = self.minutes(10, 45)
        if self.chance(0.7):
            rules["dust_settles"] = self.minutes(15, 90)
        if self.chance(0.4):
            rules["noise"] = self.random.choice(["08:30-17:00", "07:00-20:30", "09:00-12:00"])
        return rules

    def people(self) -> list[Table]:
        people: list[Table] = [{"id": "ines"}]
        if self.chance(0.5):
            people.append(
                {"id": "tobias", "hours": self.own_hours()} if self.chance(0.5) else {"id": "tobias"}
            )
        if self.chance(0.6):
            rule = self.random.choice(
                ["FREQ=WEEKLY;INTERVAL=2;BYDAY=SA,TU", "FREQ=DAILY;INTERVAL=3;COUNT=20"]
            )
            extra = {"rule": rule, "from": self.date(-10, 3), "hours": ["15:00-19:00"]}
            people.append({"id": "wren", "role": "helper", "hours": self.own_hours(), "also": [extra]})
        self.two_people = len(people) > 1
        return people

    def own_hours(self) -> Table:
        return {
            d: self.random.choice(DAY_HOURS) for d in self.random.sample(WEEKDAYS, self.random.randint(1, 4))
        }

    # ------------------------------------------------------------ a job

    def job(self, name: str) -> Table:
        job: Table = {"title": f"Piece of {name}"}
        if self.chance(0.7):
            job["promise"] = self.date(1, 30)
        if self.chance(0.2):
            job["begin"] = self.date(1, 9)
        if self.chance(0.5):
            job["weight"] = self.random.randint(1, 9)
        parts = []
        for part in self.random.sample(["seat", "frame", "lid", "panel"], self.random.randint(1, 3)):
            parts.append(
                {
                    "id": part,
                    "name": part.title(),
                    "steps": self.steps(f"{name}/{part}", self.random.randint(1, 6)),
                }
            )
        job["parts"] = parts
        if self.chance(0.8):
            job["steps"] = self.steps(name, self.random.randint(1, 3))
        return job

    def steps(self, place: str, count: int) -> list[Table]:
        steps: list[Table] = []
        while len(steps) < count:
            kinds = [self.sawing, self.glue, self.bench_work, self.finish, self.oil_and_buff, self.outside]
            kind = self.random.choices(kinds, [4, 3, 3, 3, 2, 1])[0]
            for step in kind():
                step = {"id": f"s{len(steps) + 1}", **step}
                self.after(step, place, bool(steps))
                steps.append(step)
                self.addresses.append((f"{place}/{step['id']}", [w["name"] for w in step.get("waits", [])]))
        self.left -= len(steps)
        return steps

    def after(self, step: Table, place: str, has_one_before: bool) -> None:
        """Now and then something else than the step before, or at a wait of it."""
        if "within" in step or not self.addresses or not self.chance(0.15):
            return
        address, waits = self.random.choice(self.addresses[-12:])
        entry: Table = {"step": address}
        if waits and self.chance(0.5):
            entry["when"] = self.random.choice([*waits, "hands-off"])
        if self.chance(0.2):
            entry["within"] = self.random.choice(["36h", "5d"])
            step.setdefault("missed", {"adds": "15m"})
        step["after"] = [entry]
        if has_one_before and self.chance(0.5):
            step["after"].append(self.addresses[-1][0])

    # ------------------------------------------------------------ steps

    def sawing(self) -> list[Table]:
        step: Table = {"hands_on": self.minutes(10, 300), "stations": [self.random.choice(SAWING)]}
        if self.two_people and self.chance(0.25):
            step["hands"] = 2
        if self.chance(0.1):
            step["noisy"] = False
        return [step]

    def bench_work(self) -> list[Table]:
        step: Table = {"hands_on": self.minutes(0, 400), "spread": ["10m", "20h"]}
        if self.chance(0.6):
            step["stations"] = [self.random.choice(FINE)]
        if self.chance(0.15):
            days = self.random.sample(WEEKDAYS, 3)
            step["only"] = self.random.choice(
                [{"days": days}, {"between": "09:00-15:00"}, {"days": days, "between": "08:00-12:30"}]
            )
        if self.chance(0.1):
            step["on"] = dt.datetime.combine(self.date(3, 25), dt.time(self.random.choice([9, 10, 14]), 15))
        if self.chance(0.1):
            step["dusty"] = True
        return [step]

    def glue(self) -> list[Table]:
        gear = {"sash-cramps": self.random.randint(1, 7)}
        if self.chance(0.4):
            gear["caul-pairs"] = self.random.randint(1, 3)
        keeps = self.random.choice(["all", ["sash-cramps"], ["assembly-table", "sash-cramps"], []])
        waits: list[Table] = [{"name": "in cramps", "takes": self.minutes(30, 720), "keeps": keeps}]
        if self.chance(0.5):
            waits.append(
                {
                    "name": "hardens",
                    "takes": "16h",
                    "cures": self.chance(0.5),
                    "keeps": ["sash-cramps"] if self.chance(0.2) else [],
                }
            )
        step: Table = {"hands_on": self.minutes(10, 90), "one_sitting": True, "waits": waits}
        step |= {"stations": ["assembly-table"], "gear": gear}
        if self.chance(0.3):
            step |= {"within": self.random.choice(["12h", "24h", "3d"]), "missed": {"adds": "25m"}}
        return [step]

    def finish(self) -> list[Table]:
        calm = self.chance(0.6)
        waits: list[Table] = [{"name": "tacky", "takes": self.minutes(30, 240), "still_air": calm}]
        waits.append(
            {
                "name": "dry",
                "takes": self.random.choice(["6h", "20h", "2d"]),
                "cures": self.chance(0.6),
                "keeps": "all" if self.chance(0.3) else [],
            }
        )
        if self.chance(0.4):
            waits.append({"name": "fully hard", "takes": "9d", "informs": True})
        step: Table = {"hands_on": self.minutes(10, 60), "waits": waits, "still_air": self.chance(0.5)}
        step["stations"] = self.random.choice([["oil-nook"], ["assembly-table"], ["drying-rack", "oil-nook"]])
        if self.chance(0.6):
            step["passes"] = self.random.randint(2, 3)
            step["next_pass"] = {
                "extra": "10m",
                "within": self.random.choice(["18h", "30h", "4d"]),
                "missed": {"adds": "15m"},
            }
        return [step]

    def oil_and_buff(self) -> list[Table]:
        """A window of minutes: buff off within so long after the dwell."""
        oil: Table = {
            "hands_on": self.minutes(5, 25),
            "one_sitting": True,
            "stations": ["oil-nook"],
            "waits": [{"name": "dwell", "takes": self.minutes(5, 20)}],
        }
        buff: Table = {
            "hands_on": self.minutes(5, 20),
            "within": self.minutes(5, 30),
            "one_sitting": self.chance(0.7),
        }
        buff["waits"] = [{"name": "dry", "takes": "14h", "still_air": self.chance(0.4)}]
        return [oil, buff]

    def outside(self) -> list[Table]:
        if self.chance(0.5):
            takes = self.random.choice(["3 workdays", "26h", "4d", "1 workdays"])
            return [{"away": {"who": "the metalworker", "takes": takes}}]
        return [{"arrives": {"what": "brass hinges", "on": self.date(0, 15), "from": "the mill"}}]
