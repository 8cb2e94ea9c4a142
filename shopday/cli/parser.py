"""Reads a command line. Options of every command may be before or after the command's name."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Sequence
from functools import partial
from typing import Any, NoReturn

from shopday import __version__
from shopday.cli.commands import COMMANDS, EVERYWHERE, STATUSES, Arg, Command
from shopday.cli.examples import EXAMPLES
from shopday.shop.faults import ShopdayError, suggest
from shopday.text.terminal import columns

VERSION = Arg("--version", "the version of the program")
MOST_BESIDE = 50
"""The longest example with room beside it, in letters."""


class WrongCall(ShopdayError):
    """The command line is wrong; the message says what would be right."""


class _HelpFormatter(argparse.RawDescriptionHelpFormatter):
    """Help as wide as the terminal less two columns; argparse makes one for each argument."""

    def __init__(self, prog: str) -> None:
        super().__init__(prog, width=columns(sys.stdout) - 2)


class _Parser(argparse.ArgumentParser):
    """Raises an error instead of printing usage lines."""

    def error(self, message: str) -> NoReturn:
        raise WrongCall(self._helpful(message.replace("argument ", "", 1)))

    def _helpful(self, message: str) -> str:
        options = list(self._option_string_actions)
        if found := re.match(r"unrecognized arguments: (\S+)", message):
            hint = suggest(found[1], options) if found[1].startswith("-") else ""
            return (
                f"{self.prog}: it takes no {found[1]}; {hint or f'`{self.prog} --help` lists what it takes'}"
            )
        if found := re.match(r"the following arguments are required: (.+)", message):
            return f"{self.prog}: {found[1]} is missing; `{self.prog} --help` says more"
        if found := re.match(r"(\S+): expected one argument", message):
            value = next(a.metavar for a in self._actions if found[1] in a.option_strings)
            return f"{self.prog}: {found[1]} wants {value} after it; `{self.prog} --help` says more"
        if found := re.match(r"(\S+): invalid choice: '?(.*?)'? \(choose", message):
            hint = suggest(found[2], self._offered(found[1]))
            return f"{self.prog}: {found[1]}: it cannot be {found[2]!r}; {hint}"
        return f"{self.prog}: {message}"

    def _offered(self, name: str) -> list[str]:
        """The choices of an argument that people use."""
        known = [*EVERYWHERE, *(arg for command in COMMANDS.values() for arg in command.args)]
        action = next(a for a in self._actions if name in (*a.option_strings, a.metavar))
        inner = {word for arg in known if arg.name == name for word in arg.inner}
        return [word for word in action.choices or () if word not in inner]


def parse(argv: Sequence[str]) -> argparse.Namespace:
    """The arguments, with `command` ("" for the app). Raises WrongCall; exits for --help and --version."""
    front = _Parser(
        "shopday", usage=overview(), add_help=False, allow_abbrev=False, formatter_class=_HelpFormatter
    )
    front.add_argument("-h", "--help", action="store_true", default=False)
    front.add_argument(VERSION.name, "-V", action="version", version=f"shopday {__version__}")
    _add(front, EVERYWHERE)
    front.add_argument("command", nargs="?", default="")
    front.add_argument("rest", nargs=argparse.REMAINDER)
    args = front.parse_args(argv)
    if args.command and args.command not in COMMANDS:
        right = suggest(args.command, COMMANDS, "`shopday --help` lists the commands")
        raise WrongCall(f"shopday: there is no command {args.command!r}; {right}")
    if args.help:
        args.rest = ["--help"]
    return _of_command(COMMANDS[args.command], args) if args.command else _alone(args)


def _alone(args: argparse.Namespace) -> argparse.Namespace:
    if args.help:
        print(overview())
        raise SystemExit(0)
    return args


def _of_command(command: Command, args: argparse.Namespace) -> argparse.Namespace:
    parser = _Parser(
        f"shopday {command.name}",
        description=f"{command.help[0].upper()}{command.help[1:]}.",
        epilog="\n".join([*_examples(command.name), "", *_statuses(command)]),
        formatter_class=_HelpFormatter,
        allow_abbrev=False,
    )
    _add(parser, command.args)
    _add(parser, command.everywhere, keep=True)
    _add(parser, tuple(arg for arg in EVERYWHERE if arg.name in command.without), keep=True, shown=False)
    return parser.parse_args(list(map(_not_an_option, args.rest)), args)


def _not_an_option(text: str) -> str:
    """Keep negative temperatures from being read as options."""
    return f" {text}" if re.match(r"-\d", text) else text


def _read(arg: Arg, text: str) -> Any:
    return arg.read(text[1:] if re.match(r" -\d", text) else text)


def _add(
    parser: argparse.ArgumentParser, args: tuple[Arg, ...], keep: bool = False, shown: bool = True
) -> None:
    """Add an argument to a parser. keep: without the argument, what was read before stays."""
    for arg in args:
        said: dict[str, Any] = {"help": arg.help.replace("%", "%%") if shown else argparse.SUPPRESS}
        said["default"] = argparse.SUPPRESS if keep else arg.default
        if arg.is_option and not arg.value:
            said |= {"action": "store_true"} | ({} if keep else {"default": False})
        else:
            said |= {
                "type": partial(_read, arg),
                "metavar": arg.value or arg.name,
                "choices": (*arg.choices, *arg.inner) or None,
            }
            said |= {"nargs": argparse.REMAINDER if arg.rest else "?"} if arg.optional or arg.rest else {}
        parser.add_argument(arg.name, **said)


def overview() -> str:
    """The help of the whole program."""
    wide = max(map(len, map(_usage, COMMANDS.values())))
    rows = [f"  {'':{wide}}  the app", *(f"  {_usage(c):{wide}}  {c.help}" for c in COMMANDS.values())]
    options = [f"  {f'{o.name} {o.value}':12}  {o.help}" for o in (*EVERYWHERE, VERSION)]
    head = "shopday [COMMAND]: what to do today, what is being waited on, and what moves."
    tail = ["", "`shopday help COMMAND` has examples, and more options of one command."]
    return "\n".join(
        [head, "", *rows, "", "With every command:", *options, "", *_examples(""), "", *_statuses(), *tail]
    )


def _examples(name: str) -> list[str]:
    """What to type and what it does; side by side if there is room."""
    wide = max(len(typed) for typed, _ in EXAMPLES[name])
    if wide > MOST_BESIDE:
        return ["Examples:", *(f"  {typed}\n      {said}" for typed, said in EXAMPLES[name])]
    return ["Examples:", *(f"  {typed:{wide}}  {said}" for typed, said in EXAMPLES[name])]


def _statuses(command: Command | None = None) -> list[str]:
    """What the exit statuses mean. command: only those that it can have."""
    known = STATUSES if command is None else command.statuses
    return ["Exit status:", *(f"  {number:<3}  {said}" for number, said in known.items())]


def _usage(command: Command) -> str:
    return " ".join([command.name, *(arg.usage for arg in command.args if not arg.is_option)])
