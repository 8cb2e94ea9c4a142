"""Shops of a few lines, their draws, and what happens in them worked out by hand."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from shopday.planning.lessons.learned_lessons import History
from shopday.planning.odds.simulation import SimulatedCourse, Simulation
from shopday.planning.open_shop import OpenShop
from shopday.scheduler import finished

DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
NOW = dt.datetime(2026, 3, 2, 8)  # a Monday
ALWAYS = "00:00-24:00"


def open_shop(folder: Path, jobs: dict[str, str], hours: str = ALWAYS, shop: str = "") -> OpenShop:
    """A shop with the same hours on every day, and jobs by name."""
    (folder / "jobs").mkdir(exist_ok=True)
    week = "".join(f'{day} = ["{hours}"]\n' for day in DAYS)
    text = f'name = "Test shop"\ntimezone = "UTC"\n[hours]\n{week}\n{shop}'
    (folder / "shop.toml").write_text(text, "utf-8")
    for name, job in jobs.items():
        (folder / "jobs" / f"{name}.toml").write_text(job, "utf-8")
    return OpenShop(folder, NOW)


def steps(*lines: str) -> str:
    """A chain of whole-job steps, one a line: `a 1h`, or `a 1h | spread = ["1h", "2h"]; passes = 2`."""
    return "".join(map(_step, lines))


def _step(line: str) -> str:
    head, _, more = line.partition("|")
    name, _, hands_on = head.strip().partition(" ")
    work = f'hands_on = "{hands_on.strip()}"\n' if hands_on.strip() else ""
    fields = "\n".join(part.strip() for part in more.split(";"))
    return f'[[steps]]\nid = "{name}"\n{work}{fields}\n'


def chain(*estimates: tuple[int, int, int], unit: str = "h") -> str:
    """Steps of least, likely and most hours."""
    return steps(
        *(f's{n} {m}{unit} | spread = ["{a}{unit}", "{b}{unit}"]' for n, (a, m, b) in enumerate(estimates))
    )


def drawn(shop: OpenShop, count: int, seed: int = 1, history: History | None = None) -> list[SimulatedCourse]:
    plan = shop.plan(0)
    drawing = finished(Simulation.of(shop.folder, shop.state(), plan, shop.minute(), history or {}))
    return [finished(drawing.draw(seed, number)) for number in range(count)]


def hours_to(shop: OpenShop, draws: list[SimulatedCourse], job: int = 0) -> list[float]:
    """Hours from now to a job's delivery, draw by draw."""
    deliveries = [draw.deliveries[job] for draw in draws]
    assert None not in deliveries
    return [(minute - shop.minute()) / 60 for minute in deliveries if minute is not None]
