"""The form for promise, weight and begin of a job."""

from __future__ import annotations

import datetime as dt

from shopday.app.dialogs.form_dialog import Blank, FormDialog, SeenFile
from shopday.app.forms import parse_field
from shopday.app.forms.note_blanks import note_blanks
from shopday.shop import typed_values
from shopday.shop.models import Job
from shopday.text.times import date_text

STATUSES = (
    ("live", "live: it is planned"),
    ("quote", "quote: not accepted yet"),
    ("shelved", "shelved: put off, not planned"),
    ("cancelled", "cancelled"),
    ("delivered", "delivered"),
)


def job_form(id: str, job: Job, seen: SeenFile, today: dt.date) -> FormDialog:
    return FormDialog(
        f"Change {job.title or id}",
        [
            Blank("title", "Title", job.title),
            Blank("customer", "For", job.customer),
            Blank(
                "promise",
                "Promised",
                _said(job.promise, today),
                "18 Dec, in 2 weeks, or empty",
                parse_field.field_day(today),
            ),
            Blank(
                "begin",
                "Not before",
                _said(job.begin, today),
                "1 Dec, Mon, or empty",
                parse_field.field_day(today),
            ),
            Blank(
                "weight",
                "Weight, 1 to 9",
                str(job.weight),
                "how much a late day hurts",
                typed_values.field_whole(1, 9),
            ),
            Blank(
                "status",
                "Status",
                job.status,
                pickable=STATUSES,
            ),
            *note_blanks(job),
        ],
        seen,
    )


def _said(value: dt.date | None, today: dt.date) -> str:
    return date_text(value, today) if value else ""
