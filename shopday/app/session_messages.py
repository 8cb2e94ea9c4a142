"""What the session and the screens tell each other by Textual messages."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.message import Message

if TYPE_CHECKING:
    from shopday.app.protocol import PlannerAnswer


class SessionChanged(Message, bubble=False):
    """To the screen on top: the plan, its odds or the news have changed. Draw what differs."""

    def can_replace(self, message: Message) -> bool:
        """Several in a row are drawn once."""
        return isinstance(message, SessionChanged)


class FilesChanged(Message, bubble=False):
    """To the screen on top: another program has changed files of the shop."""


class QuestionAnswered(Message, bubble=False):
    """To the screen or dialog that asked the planner: one more answer."""

    def __init__(self, answer: PlannerAnswer) -> None:
        super().__init__()
        self.answer = answer


class JobOpened(Message):
    """To the app: show the steps of this job."""

    def __init__(self, job: str) -> None:
        super().__init__()
        self.job = job
