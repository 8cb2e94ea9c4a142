"""The shop as every screen and command sees it: its folder, its journal, its plan of this minute."""

from __future__ import annotations

import datetime as dt
from collections import deque
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

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
Stamp = tuple[tuple[str, int, int, int], ...]


class OpenShop:
    """One shop, read once and kept up to date by `refresh`.

    Raises ShopdayError where the folder or the journal cannot be read.
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
        """The minute planned from: the one given, or the clock's."""
        return self.zone.moment(self.minute())

    def minute(self) -> int:
        """`now` in minutes since the epoch."""
        if self._now is not None:
            return self._now
        return int(dt.datetime.now(dt.UTC).timestamp() // 60)

    def refresh(self) -> bool:
        """Read again what changed on disk; True if a change matters: a job whose file became
        faulty stands as it was. Raises ShopdayError and keeps what was read before when the other files are no longer
        right."""
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
        """Which days are closed, and the shop's own hours on the others."""
        return ShopDays(self.folder.shop, self.zone, self.state().closed)

    def warmth(self, first: dt.date, last: dt.date) -> Warmth | None:
        """The shop's temperature from one date to another; None when nothing is known of it. Each step of a plan asks,
        so the last answer is kept."""
        key = first, last, *self._key(self.minute())
        if self._warmth is None or self._warmth[0] != key:
            state = self.state()
            hours = OpenHours(self.folder.shop, self.zone, first, last, state.closed)
            readings = (Reading(minute, celsius) for minute, celsius in state.readings)
            self._warmth = key, warmth(self.folder.shop.temperature, hours.daytime, readings)
        return self._warmth[1]

    def scheduler(self, plan: Plan) -> SchedulerView:
        """The problem behind a plan, for what the plan itself does not say."""
        return SchedulerView(self._built_at(self.zone.of(plan.now)), plan)

    def _built_at(self, minute: int) -> EncodedProblem:
        key = self._key(minute)
        if self._built is None or self._built[0] != key:
            self._built = key, encode_problem(self.folder, self.state(), minute)
        return self._built[1]

    # ------------------------------------------------------------ planning

    def plan(self, effort: float = 1.0, bounded: bool = False) -> Plan:
        """The plan on the wall: the one kept, repaired where time or facts have gone on, else a new one.

        effort:  of the search where no plan is kept. bounded: look also for how good the plan is.
        """
        return deque(filter(None, self.plans(effort, bounded)), maxlen=1).pop()

    def plans(self, effort: float = 1.0, bounded: bool = False) -> Iterator[Plan | None]:
        """As `plan`; where no plan is kept, every better one found, each kept until the next. None is a heartbeat."""
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
            file.keep(KeptPlan.of(plan, mark))
            self._keep_glance(plan)
            yield plan

    def _made(self, effort: float, near: Plan | None = None) -> Iterator[Plan | None]:
        """Better and better plans; until the search ends whoever asks next goes on with the last of them."""
        from shopday.planning.solving.better_plans import worth_it_unasked

        plan = near
        for found in self.fresh(effort, near):
            if found is None:
                yield None
            elif near is None or worth_it_unasked(near, found):
                plan = found
                self.use_plan(plan, ended=False)
                yield plan
        if plan is not None:
            self.use_plan(plan)

    def is_to_be_planned(self) -> bool:
        """No plan is kept, or only one whose search did not come to its end."""
        known, mark = PlanFile(self.folder).plans(), self.mark()
        same = next((kept for kept in known if kept.mark == mark), None)
        return not known or (same is not None and not same.ended)

    def nothing_logged_today(self) -> bool:
        """Nobody has worked by the plan of this day yet."""
        today = self.now().date()
        return all(self.zone.date(fact.at) != today for fact in self._journal(self.journal.facts))

    def kept(self) -> KeptPlan | None:
        """The plan on the wall as it is remembered."""
        return next(iter(PlanFile(self.folder).plans()), None)

    def keep(self, kept: KeptPlan) -> None:
        """Put a plan that was remembered on the wall again."""
        PlanFile(self.folder).keep(kept)
        forget_glance(self.path)

    def fresh(self, effort: float = 1.0, near: Plan | None = None) -> Iterator[Plan | None]:
        """A plan at once, then better ones, without regard to the one on the wall; nothing is kept. None is a heartbeat.

        near: a plan to start from.
        """
        for found in plan_solver.improved_plans(self.folder, self.state(), self.minute(), effort, near):
            if found is None:
                yield None
                continue
            self._built = self._key(found[0].problem.now), found[0]
            yield decode_plan(*found, bounded=effort > 0)

    def offers(self, plan: Plan, effort: float = 1.0, best: Plan | None = None) -> Iterator[KnownPlan | None]:
        """The plan on the wall with what becomes known of it, and the best one found that is worth taking up; `best`:
        one that is known already."""
        from shopday.planning.solving.better_plans import offers

        return offers(plan, self.fresh(effort, near=best or plan), best)

    def as_of_now(self, kept: KeptPlan) -> Steps[Plan]:
        """A plan that was remembered for what is still the same but for the time."""
        return self._repaired(kept)

    def use_plan(self, plan: Plan, ended: bool = True) -> None:
        """Put a plan on the wall: from now on it is the one kept."""
        PlanFile(self.folder).keep(KeptPlan.of(plan, self.mark(), ended))
        self._keep_glance(plan)

    def _glance_holds(self) -> bool:
        """The one kept says what a new one would: nothing has happened since but that time went on."""
        known = read_glance(self.path)
        return known is not None and known.holds(self.minute())

    def _keep_glance(self, plan: Plan) -> None:
        keep_glance(self.path, glance_of(self.folder, plan))

    def remember(self, plan: Plan, folder: ShopFolder) -> None:
        """Keep a plan for the case that the shop's files become those of `folder`."""
        mark = mark_of(folder, self.state())
        if mark != self.mark():
            PlanFile(self.folder).keep(KeptPlan.of(plan, mark), on_the_wall=False)

    def _repaired(self, kept: KeptPlan, changed: bool = False, bounded: bool = False) -> Steps[Plan]:
        folder, state, minute = self.folder, self.state(), self.minute()
        key = self._key(minute)
        built, result = yield from plan_solver.repaired_plan(folder, state, minute, kept, changed, bounded)
        self._built = key, built
        yield
        return decode_plan(built, result, bounded)

    def mark(self) -> str:
        """What a plan depends on, time apart, as one text."""
        return mark_of(self.folder, self.state())

    def _key(self, minute: int) -> tuple[int, int, int]:
        """What a problem depends on: the minute, what was logged, what was read."""
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
        """Note that a step was started, put down ("pause"), finished or not needed ("skip"), needs another pass
        ("again"), is here ("arrived"), was "ordered" or "asked" for; a reading of "moisture", a wait that was "tested".

        plan:    the one people go by: it says who starts a step, and when it may be started.
        pass_no: the pass it was said of (None: the next); by: who started it, by id or name.
        details: what belongs to it, see FactRequest.
        anyway:  log a start also where the step may not be started yet; else NotReady is raised.
        Raises ShopdayError with what to do where it cannot be.
        """
        from shopday.planning.fact_logging.readiness import check_ready

        entry = self.entry(kind, address, at, plan, pass_no, by, details)
        if entry.begins and not anyway:
            check_ready(self._built_at(self.minute()), plan, (entry.address, entry.pass_no), entry.minute)
        return self.write(entry.kind, entry.address, entry.pass_no, entry.minute, **entry.data)

    def foreseen(
        self, kind: str, address: str, at: Moment | None, plan: Plan, details: Mapping[str, Any]
    ) -> tuple[Fact, Plan]:
        """What `log` would write down, and the plan on the wall after it; nothing is written or kept. Raises ShopdayError."""
        entry = self.entry(kind, address, at, plan, details=details)
        fact = Fact(0, entry.kind, entry.address, entry.pass_no, entry.minute, 0, dict(entry.data))
        state = fold((*self._counting(), fact))
        mark, known = mark_of(self.folder, state), PlanFile(self.folder).plans()
        same = next((kept for kept in known if kept.mark == mark), None)
        kept = same or next(iter(known), KeptPlan.of(plan, self.mark()))
        repair = plan_solver.repaired_plan(self.folder, state, self.minute(), kept, changed=same is None)
        return fact, decode_plan(*finished(repair))

    def correct(self, kind: str, address: str, at: Moment, pass_no: int | None = None) -> Fact:
        """Note when a start or a finish really was that is logged already. Raises ShopdayError."""
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
        """What `log`, or `correct`, would write down, whether the step may be started or not. Raises ShopdayError."""
        from shopday.planning.fact_logging.fact_logger import FactRequest

        return self._logger(plan).entry(FactRequest(kind, address, at, pass_no, by, details or {}, corrects))

    def write(self, kind: str, address: str, pass_no: int, minute: int, **data: Any) -> Fact:
        """Put a fact in the journal as it is. Raises ShopdayError."""
        return self._journal(lambda: self.journal.append(kind, address, pass_no, minute, **data))

    def told(self, fact: Fact) -> str:
        """A fact in words: "start of Glue up the seat (Hall bench)"."""
        from shopday.planning.fact_logging.fact_text import fact_told

        return fact_told(self, fact)

    def remark(self, fact: Fact) -> str:
        """What a person should know about a logged fact: what was not over before a start, and the journal's risks;
        "" for nothing."""
        said = self._logger().remark(fact.kind, fact.address, fact.pass_no)
        return " ".join(filter(None, [said, *self.journal_risks()]))

    def _logger(self, plan: Plan | None = None) -> FactLogger:
        from shopday.planning.fact_logging.fact_logger import FactLogger

        return FactLogger(self.folder, self.expansion, self.state(), self.zone, self.minute(), plan)

    @cached_property
    def _conflicts(self) -> ConflictWatch:
        from shopday.journal.conflict_copies import ConflictWatch

        return ConflictWatch(self.journal.path)

    def journal_risks(self) -> tuple[str, ...]:
        """What the journal may lose, a sentence each: what was logged last has no backup, another computer has logged
        into a version of its own. Raises ShopdayError."""
        trouble = self.journal.copy_trouble
        unsaved = (f"No backup of it could be made: {trouble}.",) if trouble else ()
        return *unsaved, *self._journal(self._conflicts.told)

    def unsaved_facts(self) -> str:
        """That no backup has the last facts, whoever logged them and when, in a sentence; "" where one has. Looks at the
        backups again only when something was logged. Raises ShopdayError."""
        from shopday.journal import health

        if self._unsaved[0] != self._version:
            self._unsaved = self._version, self._journal(lambda: health.remark(self.journal))
        return "" if self.journal.copy_trouble else self._unsaved[1]

    def undo(self, fact: Fact | None = None) -> Fact:
        """Take back this fact, or the last one logged. Raises ShopdayError when it does not count (any more)."""
        fact = self._journal(lambda: self.journal.undo(fact))
        if fact is None:
            raise ShopdayError("nothing has been logged that could be taken back")
        return fact

    def redo(self) -> Fact:
        """Put back the fact taken back last. Raises ShopdayError when there is none, or something was logged since."""
        fact = self._journal(self.journal.redo)
        if fact is None:
            raise ShopdayError("nothing was taken back since the last thing was logged")
        return fact

    def _journal(self, ask: Callable[[], T]) -> T:
        try:
            return ask()
        except JournalError as error:
            raise ShopdayError(error.wrong, error.right, error.file) from error

    def _files(self) -> Stamp:
        """Name, inode, size and time of every file a person writes."""
        files = [self.path / SHOP_FILE, self.path / MATERIALS_FILE]
        for name in (JOBS_FOLDER, RECIPES_FOLDER):
            with suppress(OSError):  # a folder one may not look into, which reading it tells
                files += sorted((self.path / name).glob("*.[tT][oO][mM][lL]"))
        stamps = []
        for file in files:
            try:
                stat = file.stat()
            except OSError:
                continue
            stamps.append((f"{file.parent.name}/{file.name}", stat.st_ino, stat.st_size, stat.st_mtime_ns))
        return tuple(stamps)
