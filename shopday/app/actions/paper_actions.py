"""Papers made from the app: the week and the day as pages to print, the plan as a calendar file."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

from shopday.app.dialogs.question_dialog import QuestionDialog
from shopday.shop.editing.atomic_write import replace_file

if TYPE_CHECKING:
    from pathlib import Path

    from shopday.app.session import Session
    from shopday.export.sheet_model import Sheet
    from shopday.planning.open_shop import OpenShop
    from shopday.planning.plan import Plan

FOLDER = "papers"
"""In the shop's folder. The program overwrites the files in it."""

DONE, AHEAD, DAY = "What was done in this week", "The next seven days", "The day, for the wall"
CALENDAR = "The plan, as a calendar file"


class PaperActions:
    """Asks which paper to write, writes it, and opens a page in the browser, where it can be printed."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def choose(self, monday: dt.date) -> None:
        question = QuestionDialog(
            "What is to be written?", f"It is put in {FOLDER}/.", (DONE, AHEAD, DAY, CALENDAR)
        )
        self.session.open_dialog(question, lambda said: self._write(said, monday) if said else None)

    def _write(self, what: str, monday: dt.date) -> None:
        made = list[str]()
        if self.session.attempt(lambda: made.append(self._written(what, monday))):
            self.session.tell(f"Written: {FOLDER}/{made[0]}")

    def _written(self, what: str, monday: dt.date) -> str:
        """Write the paper and return the name of its file. Raises ShopdayError, OSError."""
        state = self.session.state
        shop, plan = state.open_shop, state.plan or state.open_shop.plan()
        if what == CALENDAR:
            from shopday.export.calendar_memory import write_memory
            from shopday.export.ical import icalendar

            data, memory = icalendar(shop, plan)
            self._put("plan.ics", data)
            write_memory(shop.path, memory)
            return "plan.ics"
        from shopday.export.sheet_html import as_html

        name, sheet = self._sheet(what, monday, shop, plan)
        path = self._put(name, as_html(sheet).encode())
        self.session.open_page(path)
        return name

    def _sheet(self, what: str, monday: dt.date, shop: OpenShop, plan: Plan) -> tuple[str, Sheet]:
        from shopday.export.day_sheet import day_sheet
        from shopday.export.week_sheet import week_sheet
        from shopday.export.worked_sheet import worked_sheet

        today = plan.now.date()
        if what == DONE:
            return f"done-{monday}.html", worked_sheet(shop, plan, monday)
        return (
            (f"week-{today}.html", week_sheet(shop, plan))
            if what == AHEAD
            else (f"day-{today}.html", day_sheet(shop, plan))
        )

    def picture(self, name: str, drawn: str) -> None:
        """Write a picture into the same folder."""
        if self.session.attempt(lambda: self._put(name, drawn.encode())):
            self.session.tell(f"Written: {FOLDER}/{name}, to print or to look at in a browser")

    def _put(self, name: str, data: bytes) -> Path:
        path = self.session.state.folder / FOLDER / name
        path.parent.mkdir(exist_ok=True)
        replace_file(path, data, path.read_bytes() if path.exists() else None)
        return path
