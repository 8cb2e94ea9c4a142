"""The man page, in troff, from the table of commands."""

from __future__ import annotations

from collections.abc import Iterator

from shopday import __version__
from shopday.cli.commands import COMMANDS, EVERYWHERE, STATUSES, Arg, Command
from shopday.cli.examples import EXAMPLES

ENVIRONMENT = {
    "SHOPDAY_SHOP": "the shop's folder, where --shop does not say it",
    "SHOPDAY_PASSWORD": "the password that `serve` asks for",
    "PAGER": "what shows an answer longer than the terminal (default: less)",
    "NO_COLOR, FORCE_COLOR": "colours off or on, where --color does not say it",
}
FILES = {
    "shop.toml": "hours, people, stations, gear and rules",
    "jobs/NAME.toml": "one job each",
    "materials.toml": "materials over the built-in book",
    "journal.db": "what has happened",
    ".plan.json, .backups/": "the plan that is kept, and copies of the journal",
}


def man_page() -> str:
    return "\n".join(_lines()) + "\n"


def _lines() -> Iterator[str]:
    yield f'.TH SHOPDAY 1 "" "shopday {__version__}" "User commands"'
    yield from (".SH NAME", "shopday \\- a shop\\-day planner for makers of one\\-off furniture")
    yield from (".SH SYNOPSIS", ".B shopday", "[COMMAND] [OPTION]...")
    yield from (".SH DESCRIPTION", "What to do today, what is being waited on, and what moves.")
    yield "Without a command the app opens on the shop in this folder."
    yield ".SH OPTIONS"
    yield from _args(EVERYWHERE)
    yield ".SH COMMANDS"
    for command in COMMANDS.values():
        yield from _command(command)
    yield ".SH EXIT STATUS"
    yield from _terms({str(number): said for number, said in STATUSES.items()})
    yield ".SH ENVIRONMENT"
    yield from _terms(ENVIRONMENT)
    yield ".SH FILES"
    yield from _terms(FILES)
    yield ".SH EXAMPLES"
    yield from _terms(dict(EXAMPLES[""]))


def _command(command: Command) -> Iterator[str]:
    usage = " ".join([command.name, *(arg.usage for arg in command.args)])
    yield f".SS {_plain(usage)}"
    yield f"{_plain(command.help[0].upper() + command.help[1:])}."
    yield from _args(command.args)
    for typed, said in EXAMPLES[command.name]:
        yield from (".PP", f"\\fB{_plain(typed)}\\fR", ".br", _plain(said))


def _args(args: tuple[Arg, ...]) -> Iterator[str]:
    yield from _terms({f"{arg.name} {arg.value}".strip(): arg.help for arg in args})


def _terms(terms: dict[str, str]) -> Iterator[str]:
    for term, said in terms.items():
        yield from (".TP", f".B {_plain(term)}", _plain(said))


def _plain(text: str) -> str:
    """Text escaped so that troff shows it literally."""
    text = text.replace("\\", "\\e").replace("-", "\\-")
    text = "".join(char if char.isascii() else f"\\[u{ord(char):04X}]" for char in text)
    return f"\\&{text}" if text.startswith((".", "'")) else text
