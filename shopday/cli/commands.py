"""Every command in one table: what it is for, what it takes, and where its code is.

The parser, the help, the shell completion and the tests all read this table.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

from shopday.cli import argument_types


class Arg(NamedTuple):
    """One argument.

    name:  an option ("--at") or a positional argument ("FILE").
    value: the name of an option's value, "" for a flag.
    rest:  it takes all words that follow.
    inner: choices that only our own scripts use; they are not offered.
    """

    name: str
    help: str
    value: str = ""
    default: Any = None
    read: Callable[[str], Any] = str
    optional: bool = False
    choices: tuple[str, ...] = ()
    rest: bool = False
    inner: tuple[str, ...] = ()

    @property
    def is_option(self) -> bool:
        return self.name.startswith("-")

    @property
    def usage(self) -> str:
        said = f"{self.name} {self.value}".strip()
        return f"[{said}]" if self.is_option or self.optional else said


class Command(NamedTuple):
    """One command.

    code:    "module:function" within shopday.cli; the function takes the arguments and returns the exit status.
    without: options of EVERYWHERE that mean nothing to it; they are not offered.
    """

    name: str
    help: str
    code: str
    args: tuple[Arg, ...] = ()
    without: tuple[str, ...] = ()

    @property
    def everywhere(self) -> tuple[Arg, ...]:
        """The options of EVERYWHERE that mean something to it."""
        return tuple(arg for arg in EVERYWHERE if arg.name not in self.without)

    @property
    def statuses(self) -> dict[int, str]:
        """The exit statuses that it can have; without a shop, nothing can be left out."""
        return {
            number: said for number, said in STATUSES.items() if number != 3 or "--shop" not in self.without
        }


EVERYWHERE = (
    Arg("--shop", "the shop's folder (default: SHOPDAY_SHOP, or the current folder)", "DIR"),
    Arg(
        "--now", "plan as if it were this time (default: the clock)", "TIME", read=argument_types.read_moment
    ),
    Arg("--json", "answer as JSON"),
    Arg(
        "--color",
        "auto, always or never (default: auto)",
        "WHEN",
        "auto",
        choices=("auto", "always", "never"),
    ),
    Arg("--quiet", "print no answer: the exit status says it, faults are still told"),
)

OF_A_SHOP = ("--shop", "--now", "--json")
"""Those of the options that have no meaning if no shop is read."""

STATUSES = {
    0: "done",
    2: "the call or a file is wrong; nothing was changed",
    3: "done, but something in the plan has no place, or a job's file has a fault",
    130: "stopped with Ctrl+C",
}
"""What the exit statuses mean."""

ONE_JOB = Arg("JOB", "the job's id (default: every job)", optional=True)
ADDRESS = Arg("ADDRESS", "the step: JOB/PART/STEP, or JOB/STEP")
BY = Arg(
    "--by",
    "who started it: ana, or ana,kim (default: as planned, else who is in)",
    "NAMES",
    read=argument_types.read_names,
)
ANYWAY = Arg("--anyway", "log it although what comes before it is not over")
CORRECT = Arg("--correct", "it is logged with a wrong time; --at is the right one")
AT = Arg(
    "--at",
    "when it happened: 14:20, -20m, yesterday 16:00, Tue 2:20pm (default: now)",
    "TIME",
)


PASSES = Arg("--passes", "how many more (default: 1)", "NUMBER", 1, argument_types.read_passes)
FIRST = Arg("--first", "work before them: sand back, cut out, as 45m", "TIME", 0, argument_types.read_length)
DRY_RUN = Arg("--dry-run", "log nothing, only say what it would move")
LONGER = Arg(
    "LONGER",
    "how much longer from now, as 4h (default: it is over)",
    default=0,
    read=argument_types.read_length,
    optional=True,
)
PERCENT = Arg("PERCENT", "what the meter shows, as 8.5", read=argument_types.read_percent)
BOARD = Arg("--board", "which of several boards", "NAME", "")
EXPECTED = Arg(
    "DAY",
    "the day it is to be here: 10 Dec, Thu, in 2 weeks (default: as known before)",
    optional=True,
)
CALL = Arg("--call", "the day by which to ask again", "DAY")


EFFORT = Arg(
    "--effort", f"how hard to search for a plan where none is kept; 0 is the first one (default: {argument_types.THOROUGH})",
    "NUMBER", argument_types.THOROUGH, argument_types.read_effort,
)  # fmt: skip


ODDS = (
    Arg("--draws", "how many draws (default: 500)", "NUMBER", 500, argument_types.read_draws),
    Arg("--seed", "other draws for another number (default: 0)", "NUMBER", 0, argument_types.read_seed),
)

CSV = (
    Arg("--csv", "as CSV, for a spreadsheet"),
    Arg(
        "--separator",
        "between the columns of CSV: , (default), ; or tab; with ; decimals have a comma",
        "SIGN",
        ",",
        argument_types.read_separator,
    ),
    Arg("--bom", "begin CSV with a byte-order mark, by which some spreadsheets know letters with accents"),
)

COMMANDS = {
    command.name: command
    for command in (
        Command("init", "make a shop here, from the answers to a few questions", "init_command:init_command",
                (Arg("--defaults", "ask nothing"),), ("--now",)),
        Command("demo", "the app on a fresh copy of the demo shop, alive at this hour", "app_commands:demo_command",
                (Arg("DIR", "where to put the copy (default: a new temporary folder)", optional=True),), ("--shop",)),
        Command("today", "the day's plan", "question_commands:today_command", (EFFORT,)),
        Command("waiting", "what is being waited on, and until when", "question_commands:waiting_command", (EFFORT,)),
        Command("plan", "the whole plan", "question_commands:plan_command",
                (Arg("--fresh", "made without regard to the one kept, which stays"),
                 Arg("--as", "for a page or a picture: markdown, svg", "FORM", "", choices=("markdown", "svg")),
                 Arg("--prove", "go on until nothing better is possible, or eight times as long"), EFFORT)),
        Command("better", "a plan that is worth the change, and what it moves", "question_commands:better_command",
                (Arg("--take", "use it from now on"), EFFORT)),
        Command("quote", "earliest delivery of a job that is not in the shop yet, and what it moves",
                "question_commands:quote_command", (Arg("FILE", "a job file, or - for the standard input"), *ODDS, EFFORT)),
        Command("start", "log that a step was started, or taken up again", "log_commands:start_command", (ADDRESS, AT, BY, ANYWAY, CORRECT, EFFORT)),
        Command("pause", "log that a step was put down for now", "log_commands:pause_command", (ADDRESS, AT, EFFORT)),
        Command("finish", "log that a step was finished", "log_commands:finish_command", (ADDRESS, AT, CORRECT, EFFORT)),
        Command("skip", "log that a step is not needed", "log_commands:skip_command", (ADDRESS, AT, EFFORT)),
        Command("again", "log that one more pass is needed", "log_commands:again_command",
                (ADDRESS, PASSES, FIRST, AT, DRY_RUN, EFFORT)),
        Command("tested", "log that a test ended a wait, as a fingernail or tape shows, or how much longer it takes",
                "log_commands:tested_command", (ADDRESS, LONGER, AT, EFFORT)),
        Command("moisture", "log the moisture of a board, for work that may not begin without",
                "log_commands:moisture_command", (ADDRESS, PERCENT, BOARD, AT, EFFORT)),
        Command("arrived", "log that something is here", "log_commands:arrived_command", (ADDRESS, AT, EFFORT)),
        Command("ordered", "log that something was ordered, and when it is to be here", "log_commands:ordered_command",
                (ADDRESS, EXPECTED, AT, EFFORT)),
        Command("asked", "log that somebody outside was asked, and what they promised", "log_commands:asked_command",
                (ADDRESS, EXPECTED, CALL, AT, EFFORT)),
        Command("undo", "take the last logged thing back", "log_commands:undo_command", (EFFORT,)),
        Command("redo", "put back what was taken back last", "log_commands:redo_command", (EFFORT,)),
        Command("reading", "log the temperature in the shop", "log_commands:reading_command",
                (Arg("DEGREES", "as 12C or 54F"), AT)),
        Command("out", "write down that one person is not in; work, cures and the others go on", "people_commands:out_command",
                (Arg("PERSON", "who: a name, or the id"),
                 Arg("FROM", "the first day: 10 Dec, tomorrow, Thu (default: today)", optional=True),
                 Arg("TO", "the last day (default: the first)", optional=True),
                 Arg("--hours", "only then: 9-12 or 9:00-12:30, with commas between several", "HOURS", read=argument_types.read_hours),
                 Arg("--why", "ill, holiday", "TEXT", ""),
                 Arg("--remove", "they are in on those days after all"), EFFORT)),
        Command("import", "jobs from a table (CSV, or copied out of a spreadsheet), or days off from a calendar file",
                "import_command:import_command", (Arg("FILE", "the file, or - for what comes by the standard input"),)),
        Command("check", "read everything and report every fault", "check_commands:check_command",
                (Arg("--fix", "offer each remedy that loses nothing, and ask before it"),)),
        Command("restore", "put the journal together from its backups and what can be read of it", "restore_commands:restore_command",
                (Arg("FILE", "insist on this backup, whatever the others know", optional=True),), ("--now",)),
        Command("calendar", "the plan as a calendar file for the phone", "export_commands:calendar_command",
                (Arg("FILE", "where to write it (default: print it)", optional=True),
                 Arg("--follow", "write it again after every change, until stopped"), EFFORT)),
        Command("sheet", "one page for the wall", "export_commands:sheet_command",
                (Arg("--html", "write a page to print instead", "FILE"), Arg("--week", "the next seven days instead of the day"), EFFORT)),
        Command("note", "a short status of one job for its customer", "export_commands:note_command",
                (Arg("JOB", "the job's id"), EFFORT)),
        Command("odds", "which dates hold with 50, 80 and 95 %, and the chance of each promise",
                "outlook_commands:odds_command", (ONE_JOB, *ODDS, EFFORT)),
        Command("helps", "what would help the promises, or one job: each change with the days it wins",
                "outlook_commands:helps_command",
                (ONE_JOB, EFFORT._replace(help="how hard to search; 0 looks at every change once, 2 searches twice as long for twice as many (default: 1)"))),
        Command("learned", "what the journal teaches: actual against estimate", "outlook_commands:learned_command"),
        Command("hours", "hours worked by job, day, customer or step, beside the estimate", "ledger_commands:hours_command",
                (ONE_JOB, Arg("--by", "a line for each job (default), day, customer or step", "WHAT", "job", choices=("day", "job", "customer", "step")), *CSV)),
        Command("costs", "what jobs cost by the estimate and so far, by job, customer or step", "ledger_commands:costs_command",
                (ONE_JOB, Arg("--by", "a line for each job (default), customer or step", "WHAT", "job", choices=("job", "customer", "step")), *CSV)),
        Command("csv", "everything logged, as a table", "ledger_commands:csv_command", CSV[1:]),
        Command("schema", "the JSON schema of a command's --json answer", "export_commands:schema_command",
                (Arg("NAME", "a command", optional=True),), OF_A_SHOP),
        Command("help", "what a command does, takes and answers, with examples", "help_command:help_command",
                (Arg("COMMAND", "the command (default: all of them, a line each)", optional=True), Arg("--man", "the man page, as troff")), OF_A_SHOP),
        Command("completion", "a script that completes commands in your shell", "completion_command:completion_command",
                (Arg("SHELL", "your shell", choices=("bash", "zsh", "fish"), inner=("words",)),
                 Arg("WORDS", "what its script hands over: the words typed so far", rest=True)), OF_A_SHOP),
        Command("status", "one line for a prompt or a bar: what is in hand, what closes, what is over next", "status_command:status_command"),
        Command("watch", "tell when a wait ends and before a window closes, until stopped", "watch_command:watch_command",
                (Arg("--run", "what to run, with the text as its last argument (default: a notification on the desktop)", "COMMAND", ""),
                 Arg("--before", "how long before a window closes: 30m (default), 1h", "TIME", 30, argument_types.read_length)), ("--now", "--json")),
        Command("serve", "the app in a browser, for the tablet by the door", "app_commands:serve_command",
                (Arg("--host", "the address to listen on (default: 127.0.0.1, this computer alone; 0.0.0.0: all it has)", "ADDRESS", "127.0.0.1"),
                 Arg("--port", "the port to listen on (default: 8137; 0: any that is free)", "NUMBER", 8137, argument_types.read_port)), ("--json",)),
    )
}  # fmt: skip
