"""Sound inputs made unsound: one value or a few signs of a text changed, by a random source of one's own."""

import json
import random
from collections.abc import Callable, Iterator
from typing import Any

_VALUES: tuple[Any, ...] = (
    0, -1, 1, 2, 3, 7, 64, 1000, 10**9, -(10**9), 10**400, 0.1, -0.001, 1e-300, 1e300, float("inf"), float("nan"),
    True, False, "", " ", "0", "1/0", "7/0 in", "3 m", "1e9 in", "22,5", "1.234,5", "1 3/4", "½", "M20", "M0x0", "#10",
    "nearest standard", "EN 1092-1 PN16 DN150", "6 in 150", "one sheet", "split", "\x00", "\ud7ff\u202e", "A" * 5000,
    [], [[]], [1, 2, 3], {}, {"a": {}}, [{}], [{"x": 1}, {"x": 2}], ["centers"], ["top", "top"],
)  # fmt: skip

_SNIPPETS = (
    "=", "[", "]]", "[[", '"', "'", '"""', "\n", "\r", "\t", "#", ",", ".", "-", "1e999", "0x", "inf", "nan", "\\",
    "\\u", "{", "}", "ﬀ", "\x07", "[plate]", "[[bolt_circle]]", "bore = ", "units = inches", "½", "''", "=1", "\ufeff",
)  # fmt: skip


def spoiled_tables(rng: random.Random, tables: dict[str, Any]) -> dict[str, Any]:
    """A copy of the tables of a job with one to three values changed, dropped, moved or doubled."""
    copy: dict[str, Any] = json.loads(json.dumps(tables))
    for _ in range(rng.randint(1, 3)):
        places = list(_places(copy))
        if places:
            rng.choice((_replaced, _replaced, _scaled, _scaled, _dropped, _renamed, _doubled))(rng, *rng.choice(places))
    return copy


def spoiled_text(rng: random.Random, text: str) -> str:
    """A text with one to four signs or lines changed."""
    for _ in range(rng.randint(1, 4)):
        text = rng.choice((_cut_out, _put_in, _swapped_lines, _repeated))(rng, text)
    return text


def spoiled_bytes(rng: random.Random, data: bytes) -> bytes:
    """Bytes with one to eight of them changed, or cut short."""
    changed = bytearray(data)
    for _ in range(rng.randint(1, 8)):
        if changed:
            changed[rng.randrange(len(changed))] = rng.randrange(256)
    return bytes(changed[: rng.randrange(len(changed) + 1)] if rng.random() < 0.3 else changed)


def random_value(rng: random.Random) -> Any:  # noqa: ANN401 - of any kind
    """One of the values that people and programs write where another belongs."""
    return rng.choice(_VALUES)


def _places(table: Any) -> Iterator[tuple[Any, Any]]:  # noqa: ANN401 - tables and lists
    keys = list(table) if isinstance(table, dict) else range(len(table))
    for key in keys:
        yield table, key
        if isinstance(table[key], dict | list):
            yield from _places(table[key])


def _replaced(rng: random.Random, table: Any, key: Any) -> None:  # noqa: ANN401
    table[key] = random_value(rng)


def _scaled(rng: random.Random, table: Any, key: Any) -> None:  # noqa: ANN401
    if isinstance(table[key], int | float) and not isinstance(table[key], bool):
        factor = rng.choice((-1, 0.01, 0.1, 0.5, 0.9, 1.1, 2, 10, 25.4, 1000))
        table[key] = type(table[key])(table[key] * factor)


def _dropped(rng: random.Random, table: Any, key: Any) -> None:  # noqa: ANN401
    del table[key]


def _renamed(rng: random.Random, table: Any, key: Any) -> None:  # noqa: ANN401
    if isinstance(table, dict):
        table[rng.choice((key[:-1], key + "s", key.upper(), "od", "PCD", "holes", "bore"))] = table.pop(key)


def _doubled(rng: random.Random, table: Any, key: Any) -> None:  # noqa: ANN401
    if isinstance(table, list):
        table.insert(key, json.loads(json.dumps(table[key])))


def _cut_out(rng: random.Random, text: str) -> str:
    at = rng.randrange(len(text) + 1)
    return text[:at] + text[at + rng.randint(1, 6) :]


def _put_in(rng: random.Random, text: str) -> str:
    at = rng.randrange(len(text) + 1)
    return text[:at] + rng.choice(_SNIPPETS) + text[at:]


def _swapped_lines(rng: random.Random, text: str) -> str:
    lines = text.split("\n")
    a, b = rng.randrange(len(lines)), rng.randrange(len(lines))
    lines[a], lines[b] = lines[b], lines[a]
    return "\n".join(lines)


def _repeated(rng: random.Random, text: str) -> str:
    lines = text.split("\n")
    at = rng.randrange(len(lines))
    return "\n".join((*lines[:at], lines[at], *lines[at:]))


Spoiler = Callable[[random.Random, str], str]
