"""What every screen of the shop has: the top line, a line for news, and the keys at the foot."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.containers import Container
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from shopday.app.rows.move_text import BAD
from shopday.app.widgets.footer import ShopFooter
from shopday.app.widgets.header import ShopHeader
from shopday.app.widgets.offer_line import OfferLine
from shopday.app.widgets.style_cache import CachedScreenStyles
from shopday.text.cells import cut, wrapped
from shopday.text.times import date_text, time_of

if TYPE_CHECKING:
    from shopday.app.session import Session
    from shopday.app.session_state import SessionState


class ShopScreen(CachedScreenStyles, Screen[None]):
    """Subclasses compose `body`, and redraw in `show_plan`, which is called whenever plan, shop or minute have
    changed."""

    AUTO_FOCUS = "RowList"
    PLACE: ClassVar[str] = ""
    HELP_TEXT: ClassVar[str] = ""

    _composed = False
    _drawn: tuple[object, ...] = ()

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session

    @property
    def ready(self) -> bool:
        """True if there is something to show, the screen is composed, and the app is not closing."""
        return (
            self._composed
            and self.is_running
            and self.app.is_running  # its widgets are removed one by one after it has ended
            and not self.state.empty
            and "news" in (child.id for child in self.children)
        )

    @property
    def state(self) -> SessionState:
        return self.session.state

    def compose(self) -> ComposeResult:
        yield ShopHeader(self.PLACE)
        with Container(id="body"):
            yield from self.body()
        yield OfferLine()
        yield Static("", id="news", markup=False)
        yield ShopFooter()

    def body(self) -> ComposeResult:
        """The widgets between the top line and the news."""
        raise NotImplementedError

    def visited(self) -> None:
        """The screen was opened by its key, perhaps while it was shown already."""

    def show_plan(self) -> None:
        """Draw what is known now."""

    def on_screen_resume(self) -> None:
        self.redraw()

    def on_mount(self) -> None:
        self._composed = True
        self.redraw()

    def on_session_changed(self) -> None:
        self.redraw()

    def redraw(self) -> None:
        if not self.ready:
            return
        self.tick()
        self.query_one(OfferLine).show(self.session.offer)
        self.show_news(self.session.news)
        state = self.state
        drawn = state.dashboard, state.odds, state.now, state.read and state.read.folder
        if drawn != self._drawn:
            self._drawn = drawn
            self.show_plan()

    def tick(self) -> None:
        """Update the clock, and whatever changes each second."""
        if not self.ready:
            return
        now = self.state.now
        self.query_one(ShopHeader).show_time(
            f"{date_text(now.date(), now.date())}  {time_of(now)}", self.session.plan_updates.doing
        )

    def show_news(self, news: str) -> None:
        """Show the news on one or two lines; bad news has its own look."""
        if not self.ready:
            return
        line = self.query_one("#news", Static)
        first, *more = wrapped(news, self.size.width - 2).split("\n")
        said = Content("\n".join([first, cut(" ".join(more), self.size.width - 2)] if more else [first]))
        said = said.stylize("bold $error") if news.startswith(BAD) else said
        if not (isinstance(line.content, Content) and line.content.is_same(said)):
            line.update(said, layout=len(more) > 0 or line.size.height > 1)

    def put(self, line: str, said: Content) -> None:
        """Set the text; if it is the same, nothing is drawn. The screen is laid out only for another number of lines."""
        shown = self.query_one(line, Static)
        before = shown.content
        if not (isinstance(before, Content) and before.is_same(said)):
            lines = [str(text).count("\n") for text in (before, said)]
            grows = shown.styles.height is not None and shown.styles.height.is_auto and lines[0] != lines[1]
            shown.update(said, layout=grows)
