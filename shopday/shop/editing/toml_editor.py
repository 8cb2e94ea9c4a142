"""Changes to the text of a TOML file that touch only what they change.

Each change is made twice: to the text, and to the values it stands for. If the two no longer agree, the file has a
layout that is not supported, and nothing is written.
"""

from __future__ import annotations

import copy
import re
import tomllib
from collections.abc import Mapping
from typing import Any

from shopday.shop.editing.toml_format import TABLES, key_text, table_text, value_text
from shopday.shop.faults import ShopdayError
from shopday.shop.loading.toml_positions import Path, TomlScan
from shopday.shop.quantities import AmountSpan

_REST_OF_LINE = re.compile(r"[ \t]*,?[ \t]*(#[^\n]*)?\n")

BY_HAND = "it is laid out in a way shopday does not change", "change it by hand"


class TomlDraft:
    """The text of a file under change. Places are paths; in a list, an entry's id serves as well as its index."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.data: dict[str, Any] = tomllib.loads(text)

    def check(self) -> None:
        """Raise ShopdayError unless the text says exactly what was asked for."""
        try:
            agreed = tomllib.loads(self.text) == self.data
        except tomllib.TOMLDecodeError:
            agreed = False
        if not agreed:
            raise ShopdayError(*BY_HAND)

    def path(self, where: Path) -> Path:
        """A place with its ids replaced by indices."""
        path: Path = ()
        at: Any = self.data
        for key in where:
            if isinstance(at, list) and isinstance(key, str):
                ids = [entry.get("id") if isinstance(entry, dict) else None for entry in at]
                key = ids.index(key) if key in ids else len(ids)
            path = (*path, key)
            try:
                at = at[key]
            except (KeyError, IndexError, TypeError):
                raise ShopdayError(f"there is no `{where[len(path) - 1]}` to change") from None
        return path

    def at(self, path: Path) -> Any:
        found: Any = self.data
        for key in path:
            found = found[key]
        return found

    def put(self, where: Path, field: str, value: Any) -> None:
        """Set one field of a table; None removes it."""
        path = self.path(where)
        table = self.at(path)
        if value is None:
            if field in table:
                self._drop(path, field)
            return
        if field in table and table[field] == value and type(table[field]) is type(value):
            return
        if isinstance(value, list) and field in TABLES:
            raise ShopdayError(f"`{field}` is changed one entry at a time")
        self._put(path, field, value)

    def _put(self, path: Path, field: str, value: Any) -> None:
        scan, spot = TomlScan(self.text), (*path, field)
        indent = self._indent(scan.keys.get(spot, 0))
        if spot in scan.values:
            self._splice(*scan.values[spot], value_text(value, indent))
        elif path in scan.values:
            return self._put_whole(path, {**self.at(path), field: value})
        else:
            self._add_line(scan, path, field, value)
        self.at(path)[field] = copy.deepcopy(value)
        return None

    def _put_whole(self, path: Path, value: Any) -> None:
        """Rewrite an inline value."""
        key = path[-1]
        if isinstance(key, str):
            return self._put(path[:-1], key, value)
        self._splice(*TomlScan(self.text).values[path], value_text(value))
        self.at(path[:-1])[key] = copy.deepcopy(value)
        return None

    def _drop(self, path: Path, field: str) -> None:
        scan, spot = TomlScan(self.text), (*path, field)
        if path in scan.values:
            rest = {key: value for key, value in self.at(path).items() if key != field}
            return self._put_whole(path, rest)
        if spot not in scan.keys:
            raise ShopdayError(*BY_HAND)
        start = self.text.rfind("\n", 0, scan.keys[spot]) + 1
        end = self.text.find("\n", scan.values[spot][1])
        self._splice(start, len(self.text) if end < 0 else end + 1, "")
        del self.at(path)[field]
        return None

    def _splice(self, start: int, end: int, new: str) -> None:
        self.text = self.text[:start] + new + self.text[end:]

    def _indent(self, at: int) -> str:
        line = self.text[self.text.rfind("\n", 0, at) + 1 : at]
        return line if line.isspace() else ""

    def _add_line(self, scan: TomlScan, path: Path, field: str, value: Any) -> None:
        """Add a field below the last own field of the table, or below its header."""
        own = [spot for spot in scan.keys if spot[:-1] == path]
        header = next((at for name, at in scan.headers if name == path), None)
        if own:
            last = max(own, key=scan.keys.__getitem__)
            after, indent = scan.values[last][1], self._indent(scan.keys[last])
        elif header is not None:
            after, indent = header, self._indent(header)
        else:
            after, indent = -1, ""
        if not own and path and header is None:
            raise ShopdayError(*BY_HAND)
        at = 0 if after < 0 else self._line_end(after)
        self._splice(at, at, f"{indent}{key_text(field)} = {value_text(value, indent)}\n")

    def _line_end(self, at: int) -> int:
        """Where the next line begins; the last line gets a line break if it has none."""
        end = self.text.find("\n", at)
        if end < 0:
            self.text += "\n"
            return len(self.text)
        return end + 1

    def table(self, name: str, fields: Mapping[str, Any]) -> None:
        """Set fields of a top-level table [name], which is created if missing."""
        if name not in self.data:
            self._append(f"[{key_text(name)}]\n")
            self.data[name] = {}
        for field, value in fields.items():
            self.put((name,), field, value)

    def _append(self, block: str) -> int:
        at = len(self.text.rstrip("\n"))
        gap = "\n\n" if at else ""
        self._splice(at, len(self.text), gap + block)
        return at + len(gap)

    def insert(self, where: Path, fields: Mapping[str, Any], index: int | None = None) -> None:
        """Add an entry to a list of tables, at the end or before the one at `index`.

        A missing list is created, with [[tables]] at the top level and for `TABLES`, otherwise inline.
        """
        parent, group = self.path(where[:-1]), str(where[-1])
        entries = self.at(parent).get(group, [])
        index = len(entries) if index is None else max(0, min(index, len(entries)))
        longer = [*entries[:index], copy.deepcopy(dict(fields)), *entries[index:]]
        if (*parent, group) in TomlScan(self.text).values:
            return self._insert_inline((*parent, group), longer, index)
        if parent and not entries and group not in TABLES:
            return self._put(parent, group, longer)
        names = tuple(key for key in (*parent, group) if isinstance(key, str))
        at, indent = self._place(parent, group, len(entries), index)
        self._paste(at, table_text(names, fields, indent))
        self.at(parent)[group] = longer
        return None

    def remove(self, where: Path) -> None:
        """Remove an entry from a list of tables, with the comments directly above it."""
        path = self.path(where)
        group, index = self.at(path[:-1]), path[-1]
        shorter = [entry for i, entry in enumerate(group) if i != index]
        if path[:-1] in TomlScan(self.text).values:
            return self._remove_inline(path, shorter)
        self._cut(path)
        self._regroup(path[:-1], shorter)
        return None

    def _insert_inline(self, path: Path, entries: list[Any], index: int) -> None:
        """In a list with one entry per line, the new entry gets a line of its own; any other list is rewritten."""
        line = self._own_line((*path, index - 1)) if index else None
        if line is None:
            return self._put_whole(path, entries)
        indent = self._indent(TomlScan(self.text).values[*path, index - 1][0])
        self._splice(line[1], line[1], f"{indent}{value_text(entries[index])},\n")
        end = TomlScan(self.text).values[*path, index - 1][1]
        if not self.text[end:].lstrip(" \t").startswith(","):
            self._splice(end, end, ",")
        self.at(path[:-1])[path[-1]] = entries
        return None

    def _remove_inline(self, path: Path, entries: list[Any]) -> None:
        line = self._own_line(path)
        if not entries:
            return self._drop(path[:-2], str(path[-2]))
        if line is None:
            return self._put_whole(path[:-1], entries)
        self._splice(*line, "")
        self.at(path[:-2])[path[-2]] = entries
        return None

    def _own_line(self, path: Path) -> AmountSpan | None:
        """The line of an entry of an inline list, with its comment, if nothing else is on it."""
        start, end = TomlScan(self.text).values[path]
        first = self.text.rfind("\n", 0, start) + 1
        match = _REST_OF_LINE.match(self.text, end)
        return (first, match.end()) if match and not self.text[first:start].strip() else None

    def move(self, where: Path, index: int) -> None:
        """Move an entry within its list; `index` is counted without it."""
        path = self.path(where)
        others = [entry for i, entry in enumerate(self.at(path[:-1])) if i != path[-1]]
        index = max(0, min(index, len(others)))
        moved = [*others[:index], self.at(path), *others[index:]]
        if path[:-1] in TomlScan(self.text).values:
            return self._put_whole(path[:-1], moved)
        if not others:
            return None
        block = self._cut(path)
        at, _ = self._place(path[:-2], str(path[-2]), len(others), index)
        self._paste(at, block)
        self._regroup(path[:-1], moved)
        return None

    def _regroup(self, path: Path, entries: list[Any]) -> None:
        if entries:
            self.at(path[:-1])[path[-1]] = entries
        else:
            del self.at(path[:-1])[path[-1]]

    def _cut(self, path: Path) -> str:
        start, end = self._block(path)
        block, rest = self.text[start:end], self.text[end:]
        before = self.text[:start]
        self.text = before + rest if rest else before.rstrip("\n") + "\n" * bool(before.strip("\n"))
        return block.strip("\n") + "\n"

    def _paste(self, at: int, block: str) -> None:
        before, after = self.text[:at].rstrip("\n"), self.text[at:].lstrip("\n")
        pieces = [piece for piece in (before, block.rstrip("\n"), after) if piece]
        self.text = "\n\n".join(pieces) + ("" if after else "\n")

    def _place(self, parent: Path, group: str, count: int, index: int) -> tuple[int, str]:
        """Where the block of a new entry goes, and the indent of its header."""
        headers = dict(TomlScan(self.text).headers)
        path = (*parent, group)
        if count:
            start, end = self._block((*path, min(index, count - 1)))
            return (start if index < count else end), self._indent(headers[(*path, 0)])
        if not parent:
            return len(self.text), ""
        return self._block(parent)[1], self._indent(headers[parent]) + "  "

    def _block(self, path: Path) -> tuple[int, int]:
        """From the comments directly above an entry's header to those of the next header that is not part of it."""
        headers = TomlScan(self.text).headers
        starts = [i for i, (name, _) in enumerate(headers) if name == path]
        if not starts:
            raise ShopdayError(*BY_HAND)
        following = (at for name, at in headers[starts[0] + 1 :] if name[: len(path)] != path)
        end = next(following, None)
        return self._above(headers[starts[0]][1]), len(self.text) if end is None else self._above(end)

    def _above(self, at: int) -> int:
        start = self.text.rfind("\n", 0, at) + 1
        while start and self.text[self.text.rfind("\n", 0, start - 1) + 1 : start].lstrip().startswith("#"):
            start = self.text.rfind("\n", 0, start - 1) + 1
        return start
