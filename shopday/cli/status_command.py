"""`shopday status`: one line for a prompt or a bar. If the plan at a glance is fresh, nothing else is read."""

from __future__ import annotations

import datetime as dt
import time
from argparse import Namespace
from collections.abc import Iterator
from pathlib import Path
from zoneinfo import ZoneInfo

from shopday.cli import shop_access
from shopday.cli.run import DONE
from shopday.planning.glance import Glance, GlanceStep, read_glance
from shopday.text.durations import work_text
from shopday.text.safe import clean
from shopday.text.times import time_of, use_clock

SOON = 12 * 60
"""Minutes before a window closes from which it is told."""


def status_command(args: Namespace) -> int:
    folder = shop_access.folder(args)
    glance = read_glance(folder)
    now = None if glance is None else _minute(args.now, glance)
    if glance is None or now is None or not _serves(glance, now):
        glance, now = _planned(args, folder)
    use_clock(glance.clock)
    pieces = dict(_Line(glance, now).pieces())
    if args.json:
        from shopday.export import answers_json

        answers_json.moment_json(
            {"shopday": answers_json.VERSION, "text": " · ".join(pieces.values()), **_whole(pieces)}
        )
    else:
        print(clean(" · ".join(pieces.values())))
    return DONE


def _whole(pieces: dict[str, str]) -> dict[str, str | None]:
    return {name: pieces.get(name) for name in ("work", "window", "wait")}


def _minute(now: dt.datetime | None, glance: Glance) -> int:
    if now is None:
        return int(time.time()) // 60
    aware = now if now.tzinfo else now.replace(tzinfo=ZoneInfo(glance.zone))
    return int(aware.timestamp()) // 60


def _serves(glance: Glance, now: int) -> bool:
    """True if the glance was made today and not in the future, or if nothing it says has happened yet."""
    same_day = _moment(glance, now).date() == _moment(glance, glance.made).date()
    return glance.holds(now) or (glance.made <= now and same_day)


def _moment(glance: Glance, minute: int) -> dt.datetime:
    return dt.datetime.fromtimestamp(minute * 60, ZoneInfo(glance.zone))


def _planned(args: Namespace, folder: Path) -> tuple[Glance, int]:
    from shopday.planning.glance_maker import glance_of

    shop = shop_access.open_shop(args)
    return glance_of(shop.folder, shop.plan()), shop.minute()


class _Line:
    def __init__(self, glance: Glance, now: int) -> None:
        self.glance, self.now = glance, now
        self.today = _moment(glance, now).date()

    def pieces(self) -> Iterator[tuple[str, str]]:
        """The work in hand or next, the window that closes first, and the next wait that ends."""
        yield "work", self._work()
        closing = [s for s in self.glance.steps if s.closes and self.now <= s.closes <= self.now + SOON]
        if closing:
            step = min(closing, key=lambda step: step.closes or 0)
            yield "window", f"! by {self._clock(step.closes or 0)} start {step.label} ({step.where})"
        waits = [
            (w.end, w.name, s)
            for s in self.glance.steps
            if s.state == "waiting"
            for w in s.waits
            if w.end > self.now
        ]
        if waits and _moment(self.glance, min(waits)[0]).date() == self.today:
            end, name, step = min(waits, key=lambda row: row[:2])
            yield "wait", f"{self._clock(end)} over: {name} ({step.where})"

    def _work(self) -> str:
        in_hand = [step for step in self.glance.steps if step.state == "under way"]
        if in_hand:
            return ", ".join(map(self._in_hand, in_hand))
        ahead = [
            (self._next(s), s)
            for s in self.glance.steps
            if s.kind == "work" and s.state in ("planned", "put down")
        ]
        start, step = min(ahead, key=lambda row: row[0], default=(0, None))
        if step is None or _moment(self.glance, start).date() > self.today:
            return "nothing more today"
        lead = "take up" if start <= self.now else f"{self._clock(start)}"
        return f"{lead} {step.label} ({step.where})"

    def _next(self, step: GlanceStep) -> int:
        return next((start for start, end in step.stretches if end > self.now), step.start)

    def _in_hand(self, step: GlanceStep) -> str:
        left = step.left(self.now)
        return f"{step.label} ({step.where}), {f'{work_text(left)} left' if left else 'should be done'}"

    def _clock(self, minute: int) -> str:
        return time_of(_moment(self.glance, minute))
