"""Every command in one table: what it is for, what it takes, and where its code is.

The parser, the help, the shell completion and the tests all read this table.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from shopday.cli import typed


@dataclass(frozen=True, slots=True)
class Arg:
    """One argument. `name` is an option ("--at") or a place ("FILE"); `value` an option's value, "" for a flag."""

    name: str
    help: str
    value: str = ""
    default: Any = None
    read: Callable[[str], Any] = str
    optional: bool = False
    choices: tuple[str, ...] = ()

    @property
    def is_option(self) -> bool:
        return self.name.startswith("-")

    @property
    def usage(self) -> str:
        said = f"{self.name} {self.value}".strip()
        return f"[{said}]" if self.is_option or self.optional else said


@dataclass(frozen=True, slots=True)
class Command:
    """`code` is "module:function" within shopday.cli; the function takes the arguments and returns the status."""

    name: str
    help: str
    code: str
    args: tuple[Arg, ...] = ()


EVERYWHERE = (
    Arg("--shop", "the shop's folder (default: SHOPDAY_SHOP, or the current folder)", "DIR"),
    Arg("--now", "plan as if it were this time (default: the clock)", "TIME", read=typed.moment),
    Arg("--json", "answer as JSON"),
)

ONE_JOB = Arg("JOB", "the job's id (default: every job)", optional=True)
ADDRESS = Arg("ADDRESS", "the step: JOB/PART/STEP, or JOB/STEP")
AT = Arg("--at", "when it happened: 14:20, or 2026-12-01T14:20 (default: now)", "TIME", read=typed.at)


EFFORT = Arg(
    "--effort", f"how hard to search for a plan where none is kept; 0 is the first one (default: {typed.THOROUGH})",
    "NUMBER", typed.THOROUGH, typed.effort,
)  # fmt: skip


ODDS = (
    Arg("--draws", "how many draws (default: 500)", "NUMBER", 500, typed.draws),
    Arg("--seed", "other draws for another number (default: 0)", "NUMBER", 0, typed.seed),
)

COMMANDS = {
    command.name: command
    for command in (
        Command("demo", "the app on a fresh copy of the demo shop, alive today", "front:demo",
                (Arg("DIR", "where to put the copy (default: a new temporary folder)", optional=True),)),
        Command("today", "the day's plan", "asking:today", (EFFORT,)),
        Command("waiting", "what is being waited on, and until when", "asking:waiting", (EFFORT,)),
        Command("plan", "the whole plan", "asking:plan",
                (Arg("--fresh", "made without regard to the one kept, which stays"),
                 Arg("--prove", "go on until nothing better is possible, or eight times as long"), EFFORT)),
        Command("better", "a plan that is worth the change, and what it moves", "asking:better",
                (Arg("--take", "use it from now on"), EFFORT)),
        Command("quote", "earliest delivery of a job that is not in the shop yet, and what it moves",
                "asking:quote", (Arg("FILE", "a job file"), *ODDS, EFFORT)),
        Command("start", "log that a step was started", "noting:start", (ADDRESS, AT, EFFORT)),
        Command("finish", "log that a step was finished", "noting:finish", (ADDRESS, AT, EFFORT)),
        Command("again", "log that one more pass is needed", "noting:again", (ADDRESS, AT, EFFORT)),
        Command("arrived", "log that something is here", "noting:arrived", (ADDRESS, AT, EFFORT)),
        Command("undo", "take the last logged thing back", "noting:undo", (EFFORT,)),
        Command("reading", "log the temperature in the shop", "noting:reading",
                (Arg("DEGREES", "as 12C or 54F"), AT)),
        Command("out", "write down that one person is not in; work, cures and the others go on", "people:out",
                (Arg("PERSON", "who: a name, or the id"),
                 Arg("FROM", "the first day: 2026-12-01, tomorrow, thu (default: today)", read=typed.day, optional=True),
                 Arg("TO", "the last day (default: the first)", read=typed.day, optional=True),
                 Arg("--hours", "only then: 09:00-12:00, with commas between several", "HOURS", read=typed.hours),
                 Arg("--why", "ill, holiday", "TEXT", ""),
                 Arg("--remove", "they are in on those days after all"), EFFORT)),
        Command("check", "read everything and report every fault", "checking:check"),
        Command("restore", "put a backup in the journal's place", "checking:restore",
                (Arg("FILE", "the backup (default: the newest good one)", optional=True),)),
        Command("calendar", "the plan as a calendar file for the phone", "papers:calendar",
                (Arg("FILE", "where to write it (default: print it)", optional=True),
                 Arg("--follow", "write it again after every change, until stopped"), EFFORT)),
        Command("sheet", "one page for the wall", "papers:sheet",
                (Arg("--html", "write a page to print instead", "FILE"), EFFORT)),
        Command("note", "a short status of one job for its customer", "papers:note",
                (Arg("JOB", "the job's id"), EFFORT)),
        Command("odds", "which dates hold with 50, 80 and 95 %, and the chance of each promise",
                "prospects:odds", (ONE_JOB, *ODDS, EFFORT)),
        Command("helps", "what would help the promises, or one job: each change with the days it wins",
                "prospects:helps", (ONE_JOB, EFFORT)),
        Command("learned", "what the journal teaches: actual against estimate", "prospects:learned"),
        Command("csv", "everything logged, as a table", "papers:csv"),
        Command("schema", "the JSON schema of a command's --json answer", "papers:schema",
                (Arg("NAME", "a command", optional=True),)),
        Command("completion", "a script that completes commands in your shell", "papers:completion",
                (Arg("SHELL", "your shell; or what the script asks for: steps, jobs, people",
                     choices=("bash", "zsh", "fish", "steps", "jobs", "people")),)),
        Command("serve", "the app in a browser, for the tablet by the door", "front:serve",
                (Arg("--host", "the address to listen on", "ADDRESS", "127.0.0.1"),
                 Arg("--port", "the port to listen on", "NUMBER", 8137, typed.port))),
    )
}  # fmt: skip
