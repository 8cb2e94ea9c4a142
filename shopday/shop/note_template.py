"""The text of a customer's note: the shop's own, or ours; words in braces are filled in."""

from __future__ import annotations

import re

NOTE = """\
{hello}

here is how the work on your {piece} is going. {done} {next}

{ready}
{care}

Kind regards
{shop}
"""
"""Used if shop.toml has no `note`."""

PLACES = ("hello", "customer", "piece", "done", "next", "ready", "care", "shop")
"""The names that can be filled in."""
_PLACE = re.compile(r"\{(\w+)\}")


def unknown_places(template: str) -> list[str]:
    """Names in braces that cannot be filled in."""
    return [name for name in _PLACE.findall(template) if name not in PLACES]


def fill_note(template: str, texts: dict[str, str]) -> str:
    """The note. Lines that become empty are dropped, and several empty lines become one."""
    lines = []
    for line in (template.strip() or NOTE).splitlines():
        said = " ".join(_PLACE.sub(lambda found: texts.get(found[1], ""), line).split())
        if said or not line.strip():
            lines.append(said)
    return re.sub(r"\n{3,}", "\n\n", "\n".join(lines)).strip()
