"""A job's tables as the text of a job file."""

import math
from collections.abc import Iterator

from flangelayout.web.form.address_tables import Table, ordered
from flangelayout.web.form.remarks import BESIDE, HEAD, Remarks, written

OWN_HEAD = "# Made on the local page of flangelayout; make the packet again with: flangelayout draw THIS_FILE"
_ESCAPES = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t", "\r": "\\r", "\b": "\\b", "\f": "\\f"}


def job_text(data: Table, head: str = OWN_HEAD, remarks: Remarks = ()) -> str:
    """The text of a job file that reads back as the same tables.

    Args:
        data: Tables of texts, numbers, lists and tables.
        head: The remark it begins with.
        remarks: What else is remarked, each where it stood.
    """
    said = dict(remarks)
    first = [*written(said[HEAD]), ""] if said.get(HEAD) else []
    return "\n".join([head, *first, *_table(ordered(data), "", "", said), ""])


def _table(table: Table, path: str, where: str, said: dict[str, str]) -> Iterator[str]:
    """The lines of a table: its own values first, then the tables in it.

    Args:
        table: Its keys and values.
        path: As its heading has it.
        where: The same with the numbers of rows, as places of remarks have it.
        said: Remarks by their places.
    """
    below = {name: value for name, value in table.items() if _is_table(value)}
    for name, value in table.items():
        if name not in below:
            place = f"{where}.{name}" if where else name
            beside = " ".join(written(said.get(f"{place}{BESIDE}", "")))
            yield from written(said.get(place, ""))
            yield f"{_key(name)} = {_value(value)}" + (f"  {beside}" if beside else "")
    for name, value in below.items():
        inner, place = (f"{path}.{_key(name)}", f"{where}.{name}") if path else (_key(name), name)
        if isinstance(value, dict):
            yield from ("", *_heading(f"[{inner}]", place, said), *_table(value, inner, place, said))
        elif isinstance(value, list):
            for number, row in enumerate(value, 1):
                own = f"{place}.{number}"
                yield from ("", *_heading(f"[[{inner}]]", own, said), *_table(row, inner, own, said))


def _heading(line: str, place: str, said: dict[str, str]) -> Iterator[str]:
    beside = " ".join(written(said.get(f"{place}{BESIDE}", "")))
    yield from written(said.get(place, ""))
    yield f"{line}  {beside}" if beside else line


def _is_table(value: object) -> bool:
    return isinstance(value, dict) or (isinstance(value, list) and bool(value) and isinstance(value[0], dict))


def _key(name: str) -> str:
    plain = name.isascii() and name.replace("_", "").replace("-", "").isalnum()
    return name if plain else _quoted(name)


def _value(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        return "[" + ", ".join(_value(each) for each in value) + "]"
    if isinstance(value, float):
        return repr(value) if math.isfinite(value) else _quoted(str(value))
    return str(value) if isinstance(value, int) else _quoted(str(value))


def _quoted(text: str) -> str:
    """A TOML basic string; what no TOML text may hold becomes an escape or the replacement sign."""
    return '"' + "".join(_character(character) for character in text) + '"'


def _character(character: str) -> str:
    if character in _ESCAPES:
        return _ESCAPES[character]
    if "\ud800" <= character <= "\udfff":
        return "\ufffd"
    return f"\\u{ord(character):04X}" if ord(character) < 0x20 or ord(character) == 0x7F else character
