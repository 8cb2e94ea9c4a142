"""The form lines for the note of a job or a step."""

from __future__ import annotations

from shopday.app.dialogs.form_dialog import Blank
from shopday.shop.base_model import Noted
from shopday.shop.typed_values import field_list


def note_blanks(of: Noted) -> list[Blank]:
    return [
        Blank("note", "Note", of.note, "what to remember"),
        Blank("refs", "See", ", ".join(of.refs), "desk.pdf, order 4711", field_list),
    ]
