"""Which line of a TOML text a key stands in; the standard parser does not tell."""

import re
from collections import Counter

_HEADER = re.compile(r"\s*(\[\[?)\s*([^\]]+?)\s*\]")
_KEY = re.compile(r"\s*((?:[\w-]+|\"[^\"]*\"|'[^']*')(?:\s*\.\s*(?:[\w-]+|\"[^\"]*\"|'[^']*'))*)\s*=")
_MULTILINE = ('"""', "'''")


def key_lines(text: str) -> dict[str, int]:
    """Lines, counted from 1, of the tables and keys of a TOML text.

    Returns:
        For example ``{"plate": 3, "plate.bore": 5, "bolt_circle[2].diameter": 14}``. Members of an
        array of tables are counted from 1. Keys of inline tables are left out.
    """
    lines: dict[str, int] = {}
    seen: Counter[str] = Counter()
    table, quoted = "", ""
    for number, line in enumerate(text.split("\n"), 1):
        if quoted:
            quoted = "" if quoted in line else quoted
            continue
        if header := _HEADER.match(line):
            table = _plain(header[2])
            if header[1] == "[[":
                seen[table] += 1
            table = _numbered(table, seen)
            lines.setdefault(table, number)
        elif key := _KEY.match(line):
            name = _plain(key[1])
            lines.setdefault(f"{table}.{name}" if table else name, number)
            quoted = next((mark for mark in _MULTILINE if line.count(mark) % 2), "")
    return lines


def line_of(where: str, lines: dict[str, int]) -> int | None:
    """Line of a key written as in :func:`key_lines`, or of the nearest table round it.

    ``bolt_circle.diameter`` means the first of its tables.
    """
    first = re.sub(r"^(\w+)(?=\.|$)", r"\1[1]", where)
    candidates = (where, first, where.rpartition(".")[0], first.rpartition(".")[0])
    return next((lines[candidate] for candidate in candidates if candidate in lines), None)


def _plain(dotted: str) -> str:
    return ".".join(part.strip().strip("\"'") for part in dotted.split("."))


def _numbered(table: str, seen: Counter[str]) -> str:
    head, *rest = table.split(".")
    prefix = f"{head}[{seen[head]}]" if seen[head] else head
    path = ".".join((prefix, *rest))
    return f"{path}[{seen[table]}]" if rest and seen[table] else path
