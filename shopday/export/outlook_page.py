"""The printed pages of `shopday odds`, `shopday helps` and `shopday learned`."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Group, RenderableType
from rich.text import Text

from shopday.export.rich_parts import BAD, DIM, GOOD, STRONG, WARN, heading, rows, text, title, unplaced_rows
from shopday.planning.lessons.learned_lessons import Lesson
from shopday.planning.odds.delivery_odds import JobOdds, Odds
from shopday.planning.odds.distributions import DAYS_LATE, DOUBTFUL, LIKELY, RUNS_OVER, STAYS_AWAY, percent
from shopday.planning.odds.odds_text import odds_causes
from shopday.planning.plan import Moment, Plan
from shopday.planning.whatif.ranking import HelpfulChange, HelpsSoFar
from shopday.shop.folder import ShopFolder
from shopday.text.times import date_text

BASIS = (
    "Work is drawn from `spread`, else from what the journal teaches of such steps, else as"
    f" {RUNS_OVER[0]} to {RUNS_OVER[-1]} times the estimate; time away as {STAYS_AWAY[0]} to {STAYS_AWAY[-1]} times"
    f" what it is said to take; what arrives comes up to {DAYS_LATE[-1]} days late (common practice)."
)


# ------------------------------------------------------------ odds


def odds_page(folder: ShopFolder, plan: Plan, found: Odds, job: str | None) -> Group:
    parts: list[RenderableType] = [title(folder.shop.name, plan.now)]
    for row in found.jobs:
        if job in (None, row.job):
            parts += [heading(row.title or row.job), rows(_dates(row, plan))]
    if len(parts) == 1:
        parts.append(heading("There is nothing left to deliver."))
    parts.append(Text(f"\n{found.draws} draws. {BASIS}", DIM))
    return Group(*parts, *unplaced_rows(plan))


def _dates(row: JobOdds, plan: Plan) -> Iterator[tuple[Text, RenderableType]]:
    now, planned = plan.now, plan.job(row.job)
    if planned is not None:
        yield Text("planned", DIM), Text(_day(planned.delivery, now), DIM)
    for share, moment in ((50, row.p50), (80, row.p80), (95, row.p95)):
        yield Text(f"{share} %"), Text(_day(moment, now), STRONG if share == 80 else "")
    if row.promise is not None and planned is not None and planned.promise is not None:
        said = f"{date_text(planned.promise, now.date())} holds with {percent(row.promise)}"
        yield Text("promise"), Text(said, _style(row.promise))
    if row.risks:
        yield Text("risk"), text(odds_causes(row))


def _day(moment: Moment | None, now: Moment) -> str:
    return "no date can be given" if moment is None else date_text(moment.date(), now.date())


def _style(share: float) -> str:
    return GOOD if share >= LIKELY else WARN if share >= DOUBTFUL else BAD


# ------------------------------------------------------------ what would help


def helps_page(folder: ShopFolder, plan: Plan, so_far: HelpsSoFar, job: str | None) -> Group:
    found = so_far.found
    row = plan.job(job) if job is not None else None
    whom = "the promises" if job is None else (row.title if row else "") or job
    head = f"What would help {whom}" if found else f"Nothing that was tried would help {whom}."
    parts: list[RenderableType] = [title(folder.shop.name, plan.now), heading(head)]
    parts.append(rows((_won(help), _text(help)) for help in found))
    if so_far.done < so_far.steps:
        parts.append(
            Text(
                f"\nStopped after {so_far.done} of {so_far.steps} steps (exit status 130): there may be more.",
                WARN,
            )
        )
    parts.append(Text("\nEach was planned and nothing was written.", DIM))
    return Group(*parts, *unplaced_rows(plan))


def _won(help: HelpfulChange) -> Text:
    """What the change wins, for the job or the promises that were asked about."""
    minutes = help.promises if help.job is None else help.job
    return Text(amount(minutes or help.earlier), GOOD)


def _text(help: HelpfulChange) -> Text:
    line = text(help.text)
    if help.job is None:
        late = (
            f"the promises are {amount(help.promises)} less late" if help.promises else "no promise changes"
        )
        return line.append(f"; {late}, all jobs together {_sooner(help.earlier)}", DIM)
    return line


def amount(minutes: int) -> str:
    """Minutes in days, or in hours if less than one."""
    days = minutes / 1440
    if days < 1:
        hours = max(1, round(minutes / 60))
        return "1 hour" if hours == 1 else f"{hours} hours"
    return "1 day" if round(days, 1) == 1 else f"{days:.1f} days"


def _sooner(minutes: int) -> str:
    return f"{amount(abs(minutes))} {'sooner' if minutes >= 0 else 'later'}"


# ------------------------------------------------------------ what the journal teaches


def learned_page(folder: ShopFolder, now: Moment, lessons: tuple[Lesson, ...]) -> Group:
    heads = {"work": "Hands-on work", "cure": "Cures, as taken up", "passes": "Passes"}
    parts: list[RenderableType] = [title(folder.shop.name, now)]
    for of, head in heads.items():
        mine = [lesson for lesson in lessons if lesson.of == of]
        if mine:
            parts.append(heading(head))
            parts.append(rows((Text(f"{x.factor:.2f} x", STRONG), text(x.text)) for x in mine))
    if not lessons:
        parts.append(heading("Nothing has been logged from start to finish yet."))
    parts.append(Text("\nNothing was changed: write what you take from it into your job files.", DIM))
    return Group(*parts)
