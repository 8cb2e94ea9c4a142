"""The shop as screens and commands see it: its folder, its journal, and its plan at this minute."""

from __future__ import annotations

import datetime as dt
from collections import deque
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from shopday.file_stamps import FileStamps, file_stamps
from shopday.journal.errors import JournalError
from shopday.journal.journal import Fact, Journal
from shopday.journal.state import ShopState, fold
from shopday.planning.encoding.encoded_problem import EncodedProblem
from shopday.planning.encoding.open_hours import OpenHours, ShopDays, Zone
from shopday.planning.encoding.problem_encoder import encode_problem
from shopday.planning.encoding.shop_temperature import Reading, Warmth, warmth
from shopday.planning.glance import forget_glance, keep_glance, read_glance
from shopday.planning.glance_maker import glance_of
from shopday.planning.plan import Moment, Plan
from shopday.planning.solving import plan_solver
from shopday.planning.solving.kept_plan import KeptPlan, PlanFile, mark_of
from shopday.planning.solving.plan_decoder import decode_plan
from shopday.planning.solving.scheduler_view import SchedulerView
from shopday.scheduler import Steps, finished
from shopday.shop.faults import ShopdayError
from shopday.shop.folder import JOBS_FOLDER, MATERIALS_FILE, RECIPES_FOLDER, SHOP_FILE, ShopFolder
from shopday.shop.loading.folder_reader import Reader
from shopday.shop.step_graph import StepGraph, expand
from shopday.text.times import use_clock

if TYPE_CHECKING:
    from shopday.journal.conflict_copies import ConflictWatch
    from shopday.planning.fact_logging.fact_logger import FactLogger
    from shopday.planning.fact_logging.log_entry import LogEntry
    from shopday.planning.solving.better_plans import KnownPlan

JOURNAL_FILE = "journal.db"

T = TypeVar("T")


class OpenShop:
    """A shop, read once and kept up to date by `refresh`.

    Raises ShopdayError if the folder or the journal cannot be read.
    """

    def __init__(self, folder: Path, now: dt.datetime | None = None) -> None:
        self.path = Path(folder)
        self._stamp = self._files()
        self._reader = Reader(self.path)
        self.folder: ShopFolder = self._reader.read()
        self.zone = Zone(self.folder.shop.timezone)
        use_clock(self.folder.shop.clock)
        self._now = None if now is None else self.zone.of(now)
        self._expansion: StepGraph | None = None
        try:
            self.journal = Journal(self.path / JOURNAL_FILE)
            self._version = self.journal.version()
        except JournalError as error:
            raise ShopdayError(error.wrong, error.right, error.file) from error
        self._unsaved = 0, ""
        self._built: tuple[tuple[int, int, int], EncodedProblem] | None = None
        self._warmth: tuple[tuple[object, ...], Warmth | None] | None = None

    def now(self) -> Moment:
        """The current minute: the one given at the start, else the clock's."""
        return self.zone.moment(self.minute())

    def minute(self) -> int:
        """`now` in minutes since the epoch."""
        if self._now is not None:
            return self._now
        return int(dt.datetime.now(dt.UTC).timestamp() // 60)

    def refresh(self) -> bool:
        """Read again what changed on disk; True if it changes the plan. A job whose file became faulty stays as it
        was. Raises ShopdayError, and keeps what was read before, if another file became faulty."""
        stamp, version = self._files(), self._journal(self.journal.version)
        changed = version != self._version
        if stamp != self._stamp:
            before, self.folder = self.folder, self._reader.read()
            changed = changed or not self.folder.differs_in_faults_alone(before)
            self.zone = Zone(self.folder.shop.timezone)
            use_clock(self.folder.shop.clock)
            self._stamp, self._expansion, self._built = stamp, None, None
        self._version = version
        return changed

    # ------------------------------------------------------------ what was written, what has happened

    @property
    def expansion(self) -> StepGraph:
        """Every step by its address, and what each waits for."""
        if self._expansion is None:
            self._expansion = expand(self.folder)
        return self._expansion

    def state(self) -> ShopState:
        """What has happened up to now."""
        return fold(self._counting())

    def _counting(self) -> list[Fact]:
        now = self.minute()
        return [fact for fact in self._journal(self.journal.facts) if fact.at <= now]

    def days(self) -> ShopDays:
        """Which days are closed, and the shop's hours on the others."""
        return ShopDays(self.folder.shop, self.zone, self.state().closed)

    def warmth(self, first: dt.date, last: dt.date) -> Warmth | None:
        """The shop's temperature between two dates; None if nothing is known of it. The last answer is kept, as
        every step of a plan asks."""
        key = first, last, *self._key(self.minute())
        if self._warmth is None or self._warmth[0] != key:
            state = self.state()
            hours = OpenHours(self.folder.shop, self.zone, first, last, state.closed)
            readings = (Reading(minute, celsius) for minute, celsius in state.readings)
            self._warmth = key, warmth(self.folder.shop.temperature, hours.daytime, readings)
        return self._warmth[1]

    def scheduler(self, plan: Plan) -> SchedulerView:
        """The problem behind a plan, for questions that the plan itself does not answer."""
        return SchedulerView(self._built_at(self.zone.of(plan.now)), plan)

    def _built_at(self, minute: int) -> EncodedProblem:
        key = self._key(minute)
        if self._built is None or self._built[0] != key:
            self._built = key, encode_problem(self.folder, self.state(), minute)
        return self._built[1]

    # ------------------------------------------------------------ planning

    def plan(self, effort: float = 1.0, bounded: bool | None = False) -> Plan:
        """The kept plan, repaired if time or facts have moved on; a new plan if none is kept.

        effort:  of the search, if no plan is kept.
        bounded: also work out how good the plan is; None: not even what is quickly known of that.
        """
        return deque(filter(None, self.plans(effort, bounded)), maxlen=1).pop()

    def plans(self, effort: float = 1.0, bounded: bool | None = False) -> Iterator[Plan | None]:
        """As `plan`. If no plan is kept, yield every better one as it is found, and keep each. None is a heartbeat."""
        file, mark = PlanFile(self.folder), self.mark()
        known = file.plans()
        if not known:
            yield from self._made(effort)
            return
        same = next((kept for kept in known if kept.mark == mark), None)
        if same is not None:
            if same is not known[0]:
                file.keep(same)
            plan = yield from self._repaired(same, bounded=bounded)
            if not self._glance_holds():
                self._keep_glance(plan)
            yield plan
            if not same.ended:
                yield from self._made(effort, plan)
        else:
            plan = yield from self._repaired(known[0], changed=True, bounded=bounded)
            self.use_plan(plan, mark)
            yield plan

    def _made(self, effort: float, near: Plan | None = None) -> Iterator[Plan | None]:
        """Better and better plans. Each is kept as not ended, so that an interrupted search is resumed from the last
        one."""
        from shopday.planning.solving.better_plans import worth_it_unasked

        plan, mark = near, self.mark()
        for found in self.fresh(effort, near):
            if found is None:
                yield None
            elif near is None or worth_it_unasked(near, found):
                plan = found
                self.use_plan(plan, mark, ended=False)
                yield plan
        if plan is not None:
            self.use_plan(plan, mark)

    def is_to_be_planned(self) -> bool:
        """True if no plan is kept, or only one whose search was cut short."""
        known, mark = PlanFile(self.folder).plans(), self.mark()
        same = next((kept for kept in known if kept.mark == mark), None)
        return not known or (same is not None and not same.ended)

    def nothing_logged_today(self) -> bool:
        """True if nobody has worked by today's plan yet."""
        today = self.now().date()
        return all(self.zone.date(fact.at) != today for fact in self._journal(self.journal.facts))

    def kept(self) -> KeptPlan | None:
        """The kept plan as it is remembered; None if there is none."""
        return next(iter(PlanFile(self.folder).plans()), None)

    def keep(self, kept: KeptPlan) -> None:
        """Make a remembered plan the kept plan again."""
        PlanFile(self.folder).keep(kept)
        forget_glance(self.path)

    def fresh(self, effort: float = 1.0, near: Plan | None = None) -> Iterator[Plan | None]:
        """Yield a new plan at once, then better ones, without regard to the kept plan; nothing is kept. None is a
        heartbeat.

        near: a plan to start from.
        """
        for found in plan_solver.improved_plans(self.folder, self.state(), self.minute(), effort, near):
            if found is None:
                yield None
                continue
            self._built = self._key(found[0].problem.now), found[0]
            yield decode_plan(*found, bounded=effort > 0)

    def offers(self, plan: Plan, effort: float = 1.0, best: Plan | None = None) -> Iterator[KnownPlan | None]:
        """The kept plan with its best known bounds, and the best plan found that is worth offering. None is a
        heartbeat. best: an offer that is known already."""
        from shopday.planning.solving.better_plans import offers

        return offers(plan, self.fresh(effort, near=best or plan), best)

    def as_of_now(self, kept: KeptPlan) -> Steps[Plan]:
        """A remembered plan as of this minute. Nothing but the time may have changed since."""
        return self._repaired(kept)

    def use_plan(self, plan: Plan, mark: str | None = None, ended: bool = True) -> None:
        """Make this plan the kept plan. mark: of what it was made for, as something may have been logged since, here or
        by another program (None: of what is known now)."""
        now = self.mark()
        PlanFile(self.folder).keep(KeptPlan.of(plan, mark or now, ended))
        if mark in (None, now):
            self._keep_glance(plan)

    def _glance_holds(self) -> bool:
        """True if the kept glance still says what a new one would: nothing has happened but the passing of time."""
        known = read_glance(self.path)
        return known is not None and known.holds(self.minute())

    def _keep_glance(self, plan: Plan) -> None:
        keep_glance(self.path, glance_of(self.folder, plan))

    def remember(self, plan: Plan, folder: ShopFolder) -> None:
        """Remember a plan in case the shop's files become those of `folder`."""
        mark = mark_of(folder, self.state())
        if mark != self.mark():
            PlanFile(self.folder).keep(KeptPlan.of(plan, mark), on_the_wall=False)

    def _repaired(self, kept: KeptPlan, changed: bool = False, bounded: bool | None = False) -> Steps[Plan]:
        folder, state, minute = self.folder, self.state(), self.minute()
        key = self._key(minute)
        built, result = yield from plan_solver.repaired_plan(folder, state, minute, kept, changed, bounded)
        self._built = key, built
        yield
        return decode_plan(built, result, bool(bounded))

    def mark(self) -> str:
        """A hash of what a plan depends on, apart from the time."""
        return mark_of(self.folder, self.state())

    def _key(self, minute: int) -> tuple[int, int, int]:
        """What a problem depends on: the minute, the journal, and the folder as read."""
        return minute, self._journal(self.journal.version), id(self.folder)

    # ------------------------------------------------------------ logging

    def log(
        self,
        kind: str,
        address: str,
        at: Moment | None = None,
        plan: Plan | None = None,
        pass_no: int | None = None,
        by: Sequence[str] = (),
        anyway: bool = False,
        details: Mapping[str, Any] | None = None,
    ) -> Fact:
        """Log that a step was started, paused ("pause"), finished or not needed ("skip"), needs another pass
        ("again"), has arrived ("arrived"), was "ordered" or "asked" for; or a reading of "moisture", or a "tested"
        wait.

        plan:    the plan that people follow: it tells who starts a step, and when it may start.
        pass_no: the pass that was named (None: the next one).
        by:      who started it, by id or name.
        details: further data by kind, see FactRequest.
        anyway:  log a start even if the step may not be started yet; otherwise NotReady is raised.

        Raises ShopdayError, which says what to do, if it cannot be logged.
        """
        from shopday.planning.fact_logging.readiness import check_ready

        entry = self.entry(kind, address, at, plan, pass_no, by, details)
        if entry.begins and not anyway:
            check_ready(self._built_at(self.minute()), plan, (entry.address, entry.pass_no), entry.minute)
        return self.write(entry.kind, entry.address, entry.pass_no, entry.minute, **entry.data)

    def foreseen(
        self, kind: str, address: str, at: Moment | None, plan: Plan, details: Mapping[str, Any]
    ) -> tuple[Fact, Plan]:
        """What `log` would log, and the kept plan after it; nothing is written or kept. Raises ShopdayError."""
        entry = self.entry(kind, address, at, plan, details=details)
        fact = Fact(0, entry.kind, entry.address, entry.pass_no, entry.minute, 0, dict(entry.data))
        state = fold((*self._counting(), fact))
        mark, known = mark_of(self.folder, state), PlanFile(self.folder).plans()
        same = next((kept for kept in known if kept.mark == mark), None)
        kept = same or next(iter(known), KeptPlan.of(plan, self.mark()))
        repair = plan_solver.repaired_plan(self.folder, state, self.minute(), kept, changed=same is None)
        return fact, decode_plan(*finished(repair))

    def correct(self, kind: str, address: str, at: Moment, pass_no: int | None = None) -> Fact:
        """Log the true time of a start or finish that is logged already. Raises ShopdayError."""
        entry = self.entry(kind, address, at, pass_no=pass_no, corrects=True)
        return self.write(entry.kind, entry.address, entry.pass_no, entry.minute, **entry.data)

    def entry(
        self,
        kind: str,
        address: str,
        at: Moment | None = None,
        plan: Plan | None = None,
        pass_no: int | None = None,
        by: Sequence[str] = (),
        details: Mapping[str, Any] | None = None,
        corrects: bool = False,
    ) -> LogEntry:
        """The fact that `log` or `correct` would write, even if the step may not be started yet. Raises
        ShopdayError."""
        from shopday.planning.fact_logging.fact_logger import FactRequest

        return self._logger(plan).entry(FactRequest(kind, address, at, pass_no, by, details or {}, corrects))

    def write(self, kind: str, address: str, pass_no: int, minute: int, **data: Any) -> Fact:
        """Append a fact to the journal unchecked. Raises ShopdayError."""
        return self._journal(lambda: self.journal.append(kind, address, pass_no, minute, **data))

    def told(self, fact: Fact) -> str:
        """A fact in words: "start of Glue up the seat (Hall bench)"."""
        from shopday.planning.fact_logging.fact_text import fact_told

        return fact_told(self, fact)

    def remark(self, fact: Fact) -> str:
        """What to tell about a logged fact: unfinished steps before it, and the journal's risks; "" if nothing."""
        return " ".join(filter(None, [self.left_open(fact), *self.journal_risks()]))

    def left_open(self, fact: Fact) -> str:
        """The steps before a logged start or finish that are not finished, in a sentence; "" if all are."""
        return self._logger().remark(fact.kind, fact.address, fact.pass_no)

    def _logger(self, plan: Plan | None = None) -> FactLogger:
        from shopday.planning.fact_logging.fact_logger import FactLogger

        return FactLogger(self.folder, self.expansion, self.state(), self.zone, self.minute(), plan)

    @cached_property
    def _conflicts(self) -> ConflictWatch:
        from shopday.journal.conflict_copies import ConflictWatch

        return ConflictWatch(self.journal.path)

    def journal_risks(self) -> tuple[str, ...]:
        """What the journal may lose, one sentence each: the last facts have no backup, or another computer has
        logged into a version of its own. Raises ShopdayError."""
        trouble = self.journal.copy_trouble
        unsaved = (f"No backup of it could be made: {trouble}.",) if trouble else ()
        return *unsaved, *self._journal(self._conflicts.told)

    def unsaved_facts(self) -> str:
        """A sentence if no backup has the last facts, whoever logged them and when; "" if one has. The backups are
        read again only after something was logged. Raises ShopdayError."""
        from shopday.journal import health

        if self._unsaved[0] != self._version:
            self._unsaved = self._version, self._journal(lambda: health.remark(self.journal))
        return "" if self.journal.copy_trouble else self._unsaved[1]

    def undo(self, fact: Fact | None = None) -> Fact:
        """Undo this fact, or the last one logged. Raises ShopdayError if it does not count (any more)."""
        fact = self._journal(lambda: self.journal.undo(fact))
        if fact is None:
            raise ShopdayError("nothing has been logged that could be taken back")
        return fact

    def redo(self) -> Fact:
        """Restore the fact undone last. Raises ShopdayError if there is none, or if something was logged since."""
        fact = self._journal(self.journal.redo)
        if fact is None:
            raise ShopdayError("nothing was taken back since the last thing was logged")
        return fact

    def _journal(self, ask: Callable[[], T]) -> T:
        try:
            return ask()
        except JournalError as error:
            raise ShopdayError(error.wrong, error.right, error.file) from error

    def _files(self) -> FileStamps:
        """Name, inode, size and time of every file that people write."""
        files = [self.path / SHOP_FILE, self.path / MATERIALS_FILE]
        for name in (JOBS_FOLDER, RECIPES_FOLDER):
            with suppress(OSError):  # reading an unreadable folder reports it
                files += sorted((self.path / name).glob("*.[tT][oO][mM][lL]"))
        return file_stamps(files, self.path)
