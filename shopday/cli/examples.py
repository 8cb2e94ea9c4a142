"""Examples of every command, for its help and the man page, in the demo shop; the tests run each of them there."""

from __future__ import annotations

EXAMPLES: dict[str, tuple[tuple[str, str], ...]] = {
    "": (("shopday", "the app, on the shop in this folder"), ("shopday --shop ~/shop today", "from anywhere else")),
    "init": (
        ("shopday init", "asks a few questions and writes shop.toml here"),
        ("shopday init --defaults --shop bench-shop", "asks nothing"),
    ),
    "demo": (("shopday demo", "in a temporary folder"), ("shopday demo my-demo", "in a folder that stays")),
    "today": (("shopday today", "as it stands now"), ("shopday today --now 2026-12-01T08:00", "as if it were then")),
    "waiting": (("shopday waiting", "everything that dries, cures or is on its way"),),
    "plan": (("shopday plan", "day after day"), ("shopday plan --prove", "and how much better it could be"), ("shopday plan --as svg > plan.svg", "as a picture")),
    "better": (("shopday better", "look first"), ("shopday better --take", "then use it")),
    "quote": (("shopday quote bench.toml", "a job file that is not in jobs/ yet"), ("shopday quote - < bench.toml", "the same, from the standard input"),),
    "start": (
        ("shopday start coat-rack/rack/glue-pegs", "now"),
        ("shopday start seed-drawers/drawers/dovetails --at 9:40am --by tobias", "earlier today, and by somebody else"),
    ),
    "pause": (("shopday pause pear-lectern/stand/joints", "put down; `start` takes it up again"),),
    "finish": (
        ("shopday finish pear-lectern/stand/joints", "now"),
        ("shopday finish pear-lectern/stand/joints --at 9:50", "earlier today"),
    ),
    "skip": (("shopday skip rush-chairs/frames/level", "they all stood level"),),
    "again": (
        ("shopday again coat-rack/rack/oil", "one more coat"),
        ("shopday again coat-rack/rack/oil --passes 2 --first 45m", "sand back first, then two coats"),
        ("shopday again coat-rack/rack/oil --dry-run", "what that would move, before it is logged"),
    ),
    "arrived": (("shopday arrived pear-lectern/fittings/hinge", "a delivery, or work that came back"),),
    "tested": (
        ("shopday tested elm-hall-table/top/pour", "hard by the fingernail: its wait is over now"),
        ("shopday tested elm-hall-table/top/pour 4h", "still soft: look again in four hours"),
    ),
    "moisture": (("shopday moisture seed-drawers/carcass/joints 8.5 --board 2", "what the meter shows for one board"),),
    "ordered": (("shopday ordered pear-lectern/fittings/hinge '10 Dec'", "ordered now, and to be here that day"),),
    "asked": (("shopday asked elm-hall-table/frame/weld fri --call thu", "they say Friday; ask again by Thursday"),),
    "undo": (("shopday undo", "the last thing logged did not happen"),),
    "redo": (("shopday redo", "it did, after all"),),
    "reading": (("shopday reading 12C", "now"), ("shopday reading 54F --at 7:30", "this morning")),
    "out": (
        ("shopday out ines", "today"),
        ("shopday out ines thu fri --why ill", "Thursday and Friday"),
        ("shopday out ines thu --remove", "in on Thursday after all"),
    ),
    "import": (
        ("shopday import jobs.csv", "columns: title, customer, promise, part, step, minutes"),
        ("shopday import holidays.ics", "its whole days are closed from then on"),
    ),
    "check": (("shopday check", "look only"), ("shopday check --fix", "offer a remedy for each fault")),
    "restore": (("shopday restore", "from all backups and what can be read of the journal"),),
    "calendar": (
        ("shopday calendar shop.ics", "a file for the phone"),
        ("shopday calendar shop.ics --follow", "written again after every change"),
    ),
    "sheet": (("shopday sheet", "in the terminal"), ("shopday sheet --html sheet.html", "to print"), ("shopday sheet --week --html week.html", "the week")),
    "note": (("shopday note coat-rack", "how it stands, to paste into a message"),),
    "odds": (("shopday odds", "every job"), ("shopday odds pear-lectern --draws 2000", "one job, more surely")),
    "helps": (("shopday helps", "for all promises"), ("shopday helps pear-lectern", "for one job")),
    "learned": (("shopday learned", "your times against the files"),),
    "hours": (
        ("shopday hours", "a line for each job"),
        ("shopday hours --by day --csv --separator ';' --bom > hours.csv", "for a spreadsheet"),
    ),
    "costs": (("shopday costs --by customer", "a line for each customer"), ("shopday costs pear-lectern --by step", "one job")),
    "csv": (("shopday csv > logged.csv", "the journal, row by row"),),
    "schema": (("shopday schema", "the names there are"), ("shopday schema plan", "one of them")),
    "help": (
        ("shopday help finish", "one command"),
        ("shopday help --man > shopday.1", "the man page; `man ./shopday.1` shows it"),
    ),
    "completion": (
        ('eval "$(shopday completion bash)"', "in ~/.bashrc"),
        ("source <(shopday completion zsh)", "in ~/.zshrc, after compinit"),
        ("shopday completion fish > ~/.config/fish/completions/shopday.fish", "once"),
    ),
    "status": (("shopday status", "for a prompt, a bar or a script"), ("shopday status --json", "piece by piece")),
    "watch": (
        ("shopday watch", "a notification on the desktop"),
        ("shopday watch --before 1h --run 'tell-phone shop'", "a command of your own gets the text"),
    ),
    "serve": (
        ("shopday serve", "on this computer alone"),
        ("shopday serve --host 0.0.0.0", "for the tablet; asks for the password it prints"),
    ),
}  # fmt: skip
"""By command ("" for the program itself): what to type, and what it does."""
