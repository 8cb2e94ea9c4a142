"""What a shell may complete, from the table of commands and the plan at a glance; and the scripts of three shells.

A script passes the words typed so far and receives lines: a word, a tab, and what it is for. No lines mean that the
shell's own completion of file names applies. Nothing is planned here and no models are loaded, as a key waits for
it.
"""

from __future__ import annotations

import os
import time
import tomllib
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from shopday.cli.commands import COMMANDS, EVERYWHERE, Arg, Command
from shopday.planning.glance import GlanceStep, read_glance

Offer = tuple[str, str]
"""A word, and what it is for."""

STATES = {
    "start": ("planned", "put down"),
    "pause": ("under way",),
    "finish": ("under way", "put down"),
    "again": ("under way", "waiting"),
    "skip": ("planned", "under way", "put down"),
    "tested": ("waiting",),
    "moisture": ("planned",),
    "ordered": ("planned", "waiting"),
    "asked": ("planned", "waiting"),
    "arrived": ("planned", "waiting"),
}
"""By command: the states of steps in which it makes sense."""
OUTSIDE = ("ordered", "asked", "arrived")
"""Commands about what others do."""


def completions(words: Sequence[str]) -> list[Offer]:
    """What may stand in place of the last word, which is being typed, after the words before it."""
    *before, current = words or [""]
    found = _Typed(before)
    return [offer for offer in found.offers(current) if offer[0].startswith(current)]


class _Typed:
    """The words before the one being typed."""

    def __init__(self, words: Sequence[str]) -> None:
        self.command: Command | None = None
        self.shop, self.places = "", 0
        self.open: Arg | None = None
        for word in words:
            self._read(word)

    def _read(self, word: str) -> None:
        name, equals, value = word.partition("=")
        known = {arg.name: arg for arg in (*self._own(), *EVERYWHERE)}
        if self.open is not None:
            self._value(self.open, word)
            self.open = None
        elif name in known:
            self._value(known[name], value)
            self.open = known[name] if known[name].value and not equals else None
        elif self.command is None:
            self.command = COMMANDS.get(word)
        else:
            self.places += 1

    def _value(self, option: Arg, value: str) -> None:
        if option.name == "--shop":
            self.shop = value

    def _own(self) -> tuple[Arg, ...]:
        return () if self.command is None else tuple(arg for arg in self.command.args if arg.is_option)

    def offers(self, current: str) -> Iterator[Offer]:
        if self.open is not None:
            yield from ((choice, "") for choice in self.open.choices)
        elif current.startswith("-"):
            everywhere = EVERYWHERE if self.command is None else self.command.everywhere
            yield from ((arg.name, arg.help) for arg in (*self._own(), *everywhere))
        elif self.command is None:
            yield from ((command.name, command.help) for command in COMMANDS.values())
        else:
            places = [arg for arg in self.command.args if not arg.is_option]
            if self.places < len(places):
                yield from self._place(places[self.places], self.command)

    def _place(self, place: Arg, command: Command) -> Iterator[Offer]:
        folder = Path(self.shop or os.environ.get("SHOPDAY_SHOP") or ".").expanduser()
        yield from ((choice, "") for choice in place.choices)
        if place.name == "ADDRESS":
            yield from _steps(folder, command.name)
        elif place.name == "JOB":
            yield from ((file.stem, "") for file in sorted(folder.glob("jobs/*.toml")))
        elif place.name == "PERSON":
            people = _toml(folder / "shop.toml").get("people") or [{"id": "maker"}]
            yield from ((str(person.get("id")), str(person.get("name", ""))) for person in people)
        elif place.name == "COMMAND":
            yield from ((name, known.help) for name, known in COMMANDS.items())
        elif place.name == "NAME":
            schemas = Path(__file__).parents[1] / "export" / "schemas"
            yield from ((file.stem, "") for file in sorted(schemas.glob("*.json")))


def _steps(folder: Path, command: str) -> Iterator[Offer]:
    """Steps that fit the command; every step if the glance is out of date."""
    glance = read_glance(folder)
    if glance is None:
        yield from ((address, "") for address in _written(folder))
        return
    now = max(glance.made, int(time.time()) // 60)
    fit = (step for step in glance.steps if step.state in STATES[command] and _fits(step, command, now))
    yield from dict.fromkeys((step.address, f"{step.label}, {step.where}") for step in fit)


def _fits(step: GlanceStep, command: str, now: int) -> bool:
    if command in OUTSIDE:
        return step.kind != "work"
    return step.kind == "work" and (command != "start" or step.state == "put down" or step.ready <= now)


def _written(folder: Path) -> Iterator[str]:
    for file in sorted(folder.glob("jobs/*.toml")):
        job = _toml(file)
        for part in job.get("parts", []):
            yield from (f"{file.stem}/{part.get('id')}/{step.get('id')}" for step in part.get("steps", []))
        yield from (f"{file.stem}/{step.get('id')}" for step in job.get("steps", []))


def _toml(file: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(file.read_text("utf-8"))
    except (OSError, ValueError):
        return {}


SCRIPTS = {
    "bash": r"""_shopday() {
  local IFS=$'\n'
  COMPREPLY=($(shopday completion words "${COMP_WORDS[@]:1:COMP_CWORD}" 2>/dev/null))
  COMPREPLY=("${COMPREPLY[@]%%$'\t'*}")
}
complete -o default -o bashdefault -F _shopday shopday""",
    "zsh": r"""#compdef shopday
_shopday() {
  local -a lines offers
  local line
  lines=("${(@f)$(shopday completion words "${(@)words[2,CURRENT]}" 2>/dev/null)}")
  for line in $lines; do
    offers+=("${${line%%$'\t'*}//:/\\:}${${${line#*$'\t'}:+:}}${line#*$'\t'}")
  done
  if (( ${#offers} )); then _describe shopday offers; else _files; fi
}
if [[ "$funcstack[1]" = _shopday ]]; then _shopday "$@"; else compdef _shopday shopday; fi""",
    "fish": r"""function __shopday_offers
    set -l typed (commandline -opc) (commandline -ct)
    set -l found (shopday completion words $typed[2..] 2>/dev/null)
    if test (count $found) -gt 0
        printf '%s\n' $found
    else
        __fish_complete_path (commandline -ct)
    end
end
complete -c shopday -f -a '(__shopday_offers)'""",
}
"""By shell; each works when it is read at the start of the shell, and zsh's also from a folder in $fpath."""
