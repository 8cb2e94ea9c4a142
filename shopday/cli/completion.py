"""Scripts that complete commands, options, steps and jobs in a shell; made from the table of commands."""

from __future__ import annotations

from shopday.cli.commands import COMMANDS, EVERYWHERE, Arg, Command

ASKS = {"ADDRESS": "steps", "JOB": "jobs", "PERSON": "people"}
"""Places filled from the shop: `shopday completion steps` lists them."""


def script(shell: str) -> str:
    return {"bash": _bash, "zsh": _zsh, "fish": _fish}[shell]()


def _options(command: Command) -> list[Arg]:
    return [arg for arg in (*command.args, *EVERYWHERE) if arg.is_option]


def _words(command: Command) -> tuple[str, str]:
    """(fixed words, what else to ask the shop for) of a command's place."""
    places = [arg for arg in command.args if not arg.is_option]
    fixed = [*(word for arg in places for word in arg.choices), *(arg.name for arg in _options(command))]
    if command.name == "schema":
        fixed += COMMANDS
    return " ".join(fixed), next((ASKS[arg.name] for arg in places if arg.name in ASKS), "")


def _bash() -> str:
    cases = []
    for command in COMMANDS.values():
        words, ask = _words(command)
        asked = f" $(shopday completion {ask} 2>/dev/null)" if ask else ""
        cases.append(f'    {command.name}) words="{words}{asked}" ;;')
    front = " ".join([*COMMANDS, *(arg.name for arg in EVERYWHERE)])
    return "\n".join(
        [
            "_shopday() {",
            '  local current="${COMP_WORDS[COMP_CWORD]}" command="" word words',
            '  for word in "${COMP_WORDS[@]:1:COMP_CWORD-1}"; do',
            f'    case "$word" in {"|".join(COMMANDS)}) command="$word"; break ;; esac',
            "  done",
            '  case "$command" in',
            *cases,
            f'    *) words="{front}" ;;',
            "  esac",
            '  COMPREPLY=($(compgen -W "$words" -- "$current"))',
            "}",
            "complete -o default -o bashdefault -F _shopday shopday",
        ]
    )


def _zsh() -> str:
    """Zsh understands bash's way, given its own loader."""
    return "\n".join(["#compdef shopday", "autoload -U +X bashcompinit && bashcompinit", _bash()])


def _fish() -> str:
    lines = []
    for command in COMMANDS.values():
        seen = f"'__fish_seen_subcommand_from {command.name}'"
        lines.append(
            f"complete -c shopday -n __fish_use_subcommand -f -a {command.name} -d {_quoted(command.help)}"
        )
        for arg in command.args:
            if arg.is_option:
                takes = " -r" if arg.value else ""
                lines.append(f"complete -c shopday -n {seen} -l {arg.name[2:]}{takes} -d {_quoted(arg.help)}")
        words, ask = _words(command)
        fixed = " ".join(word for word in words.split() if not word.startswith("-"))
        more = f"{fixed} (shopday completion {ask} 2>/dev/null)" if ask else fixed
        if more:
            lines.append(f'complete -c shopday -n {seen} -f -a "{more}"')
    for arg in EVERYWHERE:
        takes = " -r" if arg.value else ""
        lines.append(f"complete -c shopday -l {arg.name[2:]}{takes} -d {_quoted(arg.help)}")
    return "\n".join(lines)


def _quoted(text: str) -> str:
    return "'" + text.replace("'", "\\'") + "'"
