"""A TOML text as tables; or every line of it that cannot be read, each with how it is written right.

The standard parser stops at the first slip and names it in a parser's words. Here each line is tried on its own,
so that all slips are told at once, with the line as it stands and the line as it should be.
"""

import re
import tomllib
from collections.abc import Iterator
from itertools import islice

from msgspec import Struct

from flangelayout.errors import InputError, Problem
from flangelayout.problems.cures import Cure
from flangelayout.problems.schema import TomlProblem

_MOST_TOLD = 20
_LONGEST_QUOTE = 100
_HEADER = re.compile(r"\s*(\[\[?)([^\[\]#\"']*)(\]?\]?)\s*(#.*)?")
_PAIR = re.compile(r"\s*(?P<key>[^=:#\[\]\"']+?)\s*(?P<sign>[=:])\s*(?P<value>.*?)\s*")
_BEGINS = re.compile(r"\s*(\[\[?\s*(?!true|false)[A-Za-z_][\w. -]*(\]|$)|[\w.-]+\s*=)")
_PLAIN_KEY = re.compile(r"[\w-]+(\.[\w-]+)*")
_CLEAR = re.compile(r"[A-Za-z0-9_-]+\s*=\s*(\"[^\"\\\x00-\x1f]*\"|[+-]?(0|[1-9]\d*)(\.\d+)?)\s*")
_FLAG = re.compile(r"true|false|yes|no|on|off", re.IGNORECASE)
_TRUE = ("true", "yes", "on")
_COMMA_NUMBER = re.compile(r"[+-]?\d+,\d+")
_HALF_NUMBER = re.compile(r"[+-]?(\.\d+|\d+\.)")
_INCH_SIGN = re.compile(r"^\"[^\"]*\d\s*\"\"$|^[^\"]*\d\s*\"$")
_ZERO_LED = re.compile(r"([+-]?)0+(\d+(\.\d+)?)")
_TRIPLE = ('"""', "'''")
_CURLY = str.maketrans("“”„‟’‘‚″", '""""\'\'\'"')


def toml_tables(text: str, source: str = "") -> dict[str, object]:
    """The tables and keys of a TOML text.

    Raises:
        InputError: With every line that cannot be read; ``source`` leads the messages.
    """
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        raise InputError(*(_slips(text) or [_first_bad_line(text)]), source=source) from None
    except RecursionError:
        raise InputError(Problem("", TomlProblem.NESTED_TOO_DEEPLY), source=source) from None
    except ValueError:
        raise InputError(Problem("", TomlProblem.NUMBER_WITHOUT_END), source=source) from None


class _Statement(Struct, frozen=True):
    """A header or a key with its value; a list or a long text runs over several lines."""

    line: int
    text: str
    closed: bool = True

    def slip(self, cure: Cure, cured: str = "") -> Problem:
        """That it cannot be read, and how it is written right."""
        quote = self.text.split("\n")[0].strip()[:_LONGEST_QUOTE]
        return Problem("", TomlProblem.LINE_UNREADABLE, self.line, quote, cure, cured=cured)


def _slips(text: str) -> list[Problem]:
    """Every statement that cannot be read on its own, and every table or key that is there twice, by line."""
    statements = list(_statements(text))
    unreadable = list(islice(filter(None, map(_slip, statements)), _MOST_TOLD))
    lines = {problem.line for problem in unreadable}
    repeated = islice((problem for problem in _repeated(statements) if problem.line not in lines), _MOST_TOLD)
    return sorted((*unreadable, *repeated), key=lambda problem: problem.line or 0)


def _statements(text: str) -> Iterator[_Statement]:
    lines = text.replace("\r\n", "\n").split("\n")
    index = 0
    while index < len(lines):
        last, closed = _last_line(lines, index)
        statement = "\n".join(lines[index : last + 1])
        if statement.strip() and not statement.lstrip().startswith("#"):
            yield _Statement(index + 1, statement, closed)
        index = last + 1


def _last_line(lines: list[str], first: int) -> tuple[int, bool]:
    """Where the statement that begins in a line ends, and whether a long text or a list in it does end."""
    pair = _PAIR.fullmatch(lines[first])
    value = pair["value"] if pair else ""
    mark = next((mark for mark in _TRIPLE if value.startswith(mark)), "")
    if mark:
        ends = (index for index in range(first, len(lines)) if lines[index].count(mark) > (index == first))
        last = next(ends, None)
        return (first, False) if last is None else (last, True)
    depth = _depth(lines[first]) if value.startswith("[") else 0
    last = first
    while depth > 0 and last + 1 < len(lines) and not _BEGINS.match(lines[last + 1]):
        last += 1
        depth += _depth(lines[last])
    return last, depth <= 0


def _depth(line: str) -> int:
    """How many brackets a line opens and does not close."""
    bare = re.sub(r"\"[^\"]*\"|'[^']*'|#.*", "", line)
    return bare.count("[") - bare.count("]")


def _slip(statement: _Statement) -> Problem | None:
    """What is wrong with a statement that cannot be read on its own."""
    if not statement.closed:
        return statement.slip(*_closed(statement))
    if _CLEAR.fullmatch(statement.text) or _reads(statement.text):
        return None
    cure, cured = _cured_header(statement.text) or _cured_pair(statement.text) or _NO_STATEMENT
    holds = cure is Cure.WRITE_A_VALUE or _reads(cured)
    return statement.slip(cure, cured) if holds else statement.slip(*_NO_STATEMENT)


_NO_STATEMENT = Cure.WRITE_KEY_AND_VALUE, ""


def _closed(statement: _Statement) -> tuple[Cure, str]:
    """A list or a long text with its end."""
    first = statement.text.split("\n")[0]
    mark = next((mark for mark in _TRIPLE if mark in first), "")
    if mark:
        return Cure.CLOSE_QUOTES, f"{first.strip()}{mark}"
    told = " ".join(statement.text[:_LONGEST_QUOTE].split())
    return Cure.CLOSE_BRACKET, f"{told}]" if len(statement.text) <= _LONGEST_QUOTE else f"{told} ... ]"


def _cured_header(text: str) -> tuple[Cure, str] | None:
    header = _HEADER.fullmatch(text)
    name = "_".join(header[2].split()) if header else ""
    return (Cure.WRITE_SO, f"{header[1]}{name}{']' * len(header[1])}") if header and name else None


def _cured_pair(text: str) -> tuple[Cure, str] | None:
    """A key and its value as they can be read."""
    pair = _PAIR.fullmatch(text)
    key = re.sub(r"[^\w.-]+", "_", pair["key"].strip()).strip("_") if pair else ""
    if pair is None or not key:
        return None
    value = _without_comment(pair["value"])
    if not value:
        return Cure.WRITE_A_VALUE, f"{key} ="
    if value.startswith("{"):
        return None
    if _reads(f"{key} = {value}"):
        return Cure.WRITE_SO, f"{key} = {value}"
    cure, cured = _cured_number(value) or _cured_text(value)
    return cure, f"{key} = {cured}"


def _cured_number(value: str) -> tuple[Cure, str] | None:
    """A number or a yes as it can be read, and what was done to it."""
    if _FLAG.fullmatch(value):
        return Cure.WRITE_SO, "true" if value.lower() in _TRUE else "false"
    if _COMMA_NUMBER.fullmatch(value):
        return Cure.POINT_FOR_COMMA, value.replace(",", ".")
    if _HALF_NUMBER.fullmatch(value) or _ZERO_LED.fullmatch(value):
        return Cure.WRITE_SO, _whole_number(value)
    return None


def _cured_text(value: str) -> tuple[Cure, str]:
    """A text as it can be read, and what was done to it."""
    plain = value.translate(_CURLY)
    inside = plain.strip("\"'").strip()
    if plain != value and _reads(f"x = {plain}"):
        return Cure.PLAIN_QUOTES, plain
    if _INCH_SIGN.search(plain) and '"' not in inside:
        return Cure.IN_FOR_INCH_SIGN, f'"{inside} in"'
    if plain.startswith('"') and "\\" in plain:
        return Cure.SINGLE_QUOTES, f"'{inside}'"
    quoted = inside.replace('"', "'")
    return Cure.CLOSE_QUOTES if plain[0] in "\"'" else Cure.PUT_IN_QUOTES, f'"{quoted}"'


def _whole_number(value: str) -> str:
    """A number with the digits that TOML wants: 0.5 for .5, 5.0 for 5., 8 for 08."""
    led = _ZERO_LED.sub(r"\1\2", value)
    return re.sub(r"(?<!\d)\.", "0.", led + "0" if led.endswith(".") else led)


def _without_comment(value: str) -> str:
    """A value without what stands behind it after a #; one within quotes is kept."""
    for match in re.finditer("#", value):
        before = value[: match.start()]
        if before.count('"') % 2 == 0 and before.count("'") % 2 == 0:
            return before.strip()
    return value.strip()


def _reads(text: str) -> bool:
    try:
        tomllib.loads(text)
    except (ValueError, RecursionError):
        return False
    return True


def _repeated(statements: list[_Statement]) -> Iterator[Problem]:
    """Tables and keys that stand a second time."""
    table, seen = "", dict[str, int]()
    for statement in statements:
        if header := _HEADER.fullmatch(statement.text):
            table = header[2].strip()
            place = f"[{table}]"
            if len(header[1]) == 2:
                seen = {name: line for name, line in seen.items() if not name.startswith(f"{table}.")}
                continue
        elif (pair := _PAIR.fullmatch(statement.text.split("\n")[0])) and _PLAIN_KEY.fullmatch(pair["key"]):
            place = f"{table}.{pair['key']}".lstrip(".")
        else:
            continue
        if place in seen:
            yield _twice(place, statement.line, seen[place])
        seen.setdefault(place, statement.line)


def _twice(place: str, line: int, first: int) -> Problem:
    if place.startswith("["):
        return Problem(place, TomlProblem.TABLE_TWICE, line, first=first)
    return Problem(place, TomlProblem.KEY_TWICE, line, first=first)


def _first_bad_line(text: str) -> Problem:
    """The line with which a text, read from its beginning, can no longer be read."""
    lines = text.split("\n")
    good, bad = 0, len(lines)
    while bad - good > 1:
        middle = (good + bad) // 2
        good, bad = (middle, bad) if _reads("\n".join(lines[:middle])) else (good, middle)
    return _Statement(bad, lines[bad - 1]).slip(*_NO_STATEMENT)
