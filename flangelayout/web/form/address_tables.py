"""A job's tables as a list of dotted keys with texts, and back: how a job fits into an address or a form."""

import datetime
import re
from collections.abc import Iterable, Iterator

from flangelayout.errors import InputError
from flangelayout.job.schema.tree import Branch, Leaf, Shape, job_keys
from flangelayout.problems.page import PageProblem

MOST_ROWS = 2_000
_DEEPEST = 5
_LINES = (Shape.TEXTS, Shape.ROWS)
_INTEGER = re.compile(r"[+-]?\d{1,15}")
_DECIMAL = re.compile(r"[+-]?(?:\d{1,15}\.\d{0,17}|\.\d{1,17})")

Pairs = list[tuple[str, str]]
Table = dict[str, object]


def flatten(data: Table) -> Pairs:
    """Every value of a job's tables as text under its dotted key, in the schema's order.

    Rows of arrays of tables are counted from 1, lists of numbers become one text with commas, lists of
    texts and rows of numbers one with a line each.

    Raises:
        InputError: If a value is of a kind that no job file holds.
    """
    return list(_flatten(data, job_keys(), ""))


def unflatten(pairs: Iterable[tuple[str, str]]) -> Table:
    """The tables of dotted keys with texts; blank texts are left out, rows that were named stay.

    Keys the schema does not know are kept as texts, so that the job's own check names them.
    """
    nested: Table = {}
    for key, text in pairs:
        parts = key.split(".")
        if 0 < len(parts) <= _DEEPEST and all(parts):
            _put(nested, parts, text.strip())
    settled = _settled(nested, job_keys())
    return settled if isinstance(settled, dict) else {}


def ordered(data: Table, node: Leaf | Branch | None = None) -> Table:
    """The same tables with their keys in the schema's order, unknown ones last."""
    branch = job_keys() if node is None else node
    known = branch.children if isinstance(branch, Branch) else {}
    names = [*(name for name in known if name in data), *(name for name in data if name not in known)]
    return {name: _ordered_value(data[name], known.get(name)) for name in names}


def _ordered_value(value: object, node: Leaf | Branch | None) -> object:
    node = node or Leaf(Shape.TEXT)
    if isinstance(value, dict):
        return ordered(value, node)
    if isinstance(value, list):
        return [_ordered_value(each, node) for each in value]
    return value


def _flatten(table: Table, node: Leaf | Branch | None, prefix: str) -> Iterator[tuple[str, str]]:
    known = node.children if isinstance(node, Branch) else {}
    for name, value in ordered(table, node).items():
        key = f"{prefix}{name}"
        if "." in name or not name:
            raise InputError.of(PageProblem.NO_KEY_OF_A_JOB, key)
        yield from _flatten_value(key, value, known.get(name))


def _flatten_value(key: str, value: object, node: Leaf | Branch | None) -> Iterator[tuple[str, str]]:
    if isinstance(value, dict):
        yield from _flatten(value, node, f"{key}.")
    elif isinstance(value, list) and any(isinstance(each, dict) for each in value):
        for index, row in enumerate(value, 1):
            if not isinstance(row, dict):
                raise InputError.of(PageProblem.TABLES_AND_VALUES, key)
            yield from _flatten(row, node, f"{key}.{index}.")
    elif isinstance(value, list):
        parts = [_part(key, each, node) for each in value]
        if any("\n" in part for part in parts):
            raise InputError.of(PageProblem.LINE_BREAK_INSIDE, key)
        yield key, ("\n" if isinstance(node, Leaf) and node.shape in _LINES else ", ").join(parts)
    else:
        yield key, _text(key, value)


def _part(key: str, value: object, node: Leaf | Branch | None) -> str:
    """One value of a list as text; a row of numbers is a list itself."""
    if isinstance(value, list) and isinstance(node, Leaf) and node.shape is Shape.ROWS:
        return ", ".join(_text(key, each) for each in value)
    return _text(key, value)


def _text(key: str, value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, datetime.date):
        return value.isoformat()
    if isinstance(value, str | int | float):
        return str(value)
    raise InputError.of(PageProblem.NO_USE_IN_A_JOB, key)


def _put(table: Table, parts: list[str], text: str) -> None:
    head, *rest = parts
    if not rest:
        if not isinstance(table.get(head), dict):
            table[head] = text
        return
    below = table.setdefault(head, {})
    if isinstance(below, dict):
        _put(below, rest, text)


def _settled(value: object, node: Leaf | Branch | None) -> object:
    """Texts turned into what the schema says they are, numbered tables into lists; ``None`` for a blank."""
    if not isinstance(value, dict):
        return _value(str(value), node) if value != "" else None
    if _is_rows(value, node):
        row = Branch(node.children) if isinstance(node, Branch) else None
        return _rows(value, row)
    known = node.children if isinstance(node, Branch) else {}
    settled = {name: _settled(each, known.get(name)) for name, each in value.items()}
    return {name: each for name, each in settled.items() if each is not None}


def _is_rows(value: Table, node: Leaf | Branch | None) -> bool:
    digits = all(name.isdigit() and len(name) <= 4 for name in value)
    return digits and (node is None or (isinstance(node, Branch) and node.many))


def _rows(value: Table, row: Branch | None) -> list[object]:
    """Rows at their numbers, gaps filled with empty ones, so that problems keep the numbers of the form."""
    numbers = {int(name): name for name in value}
    last = min(max(numbers), MOST_ROWS)
    found = [_settled(value[numbers[number]], row) if number in numbers else {} for number in range(1, last + 1)]
    return [{} if each is None else each for each in found]


def _value(text: str, node: Leaf | Branch | None) -> object:
    shape = node.shape if isinstance(node, Leaf) else Shape.TEXT
    match shape:
        case Shape.TEXT:
            return text
        case Shape.FLAG:
            return {"true": True, "false": False}.get(text, text)
        case Shape.NUMBER | Shape.LENGTH | Shape.ANGLE:
            return _number(text)
        case Shape.NUMBERS:
            return _numbers(text)
        case Shape.ROWS:
            return [row for line in text.splitlines() if (row := _numbers(line))]
        case Shape.TEXTS:
            return [line.strip() for line in text.splitlines() if line.strip()]


def _numbers(text: str) -> list[object]:
    return [_number(part) for part in re.split(r"[,;\s]+", text) if part]


def _number(text: str) -> object:
    """A plain number as a number; anything else as written, for the job's own reader of lengths."""
    if _INTEGER.fullmatch(text):
        return int(text)
    return float(text) if _DECIMAL.fullmatch(text) else text
