"""The scanners of this user: one small file of measured factors beside that of the printers."""

import json
import math
from pathlib import Path

from flangelayout.drawing.printer import LEAST_FACTOR, MOST_FACTOR
from flangelayout.drawing.scanner import Scanner
from flangelayout.errors import InputError, OutputError, Problem
from flangelayout.files.reading import measured_tables
from flangelayout.files.settings import settings_folder
from flangelayout.files.whole import write_whole
from flangelayout.problems.files import FileProblem, FileRole

_NUMBERS = ("across", "along", "skew_deg")
_MOST_SKEW = 2.0


def scanners_file() -> Path:
    """Where the file stands, whether or not it is there yet."""
    return settings_folder() / "scanners.toml"


def known_scanners() -> dict[str, Scanner]:
    """Every measured scanner by its name, in order of name; none where there is no file.

    Raises:
        InputError: If the file cannot be read or holds what this program would not write.
    """
    file = scanners_file()
    tables = measured_tables(file, FileRole.SCANNERS)
    wrong = [Problem(name, FileProblem.SCANNER_DAMAGED) for name, table in tables.items() if not _sound(table)]
    if wrong:
        raise InputError(*wrong, source=str(file))
    return {name: _scanner(name, table) for name, table in sorted(tables.items())}


def _scanner(name: str, table: dict[str, object]) -> Scanner:
    across, along, skew = (float(str(table[key])) for key in _NUMBERS)
    return Scanner(name, across, along, skew, str(table["date"]))


def find_scanner(name: str, where: str) -> Scanner:
    """The measured scanner of that name; capitals do not matter.

    Args:
        name: As it was measured under.
        where: Option that asks for it, for the message.

    Raises:
        InputError: If there is none.
    """
    for scanner in known_scanners().values():
        if scanner.name.casefold() == name.casefold():
            return scanner
    raise InputError.of(FileProblem.SCANNER_UNKNOWN, where, name=name)


def keep_scanner(scanner: Scanner) -> Path:
    """Write a scanner into the file, in place of an older record of the same name; the file's path.

    Raises:
        InputError: If the present file is damaged, or the factors are beyond what a scanner is off.
        OutputError: If it cannot be written.
    """
    if not _within(scanner.across, scanner.along, scanner.skew_deg):
        raise InputError.of(FileProblem.SCANNER_BEYOND, scanner.name, across=scanner.across, along=scanner.along)
    others = {key: each for key, each in known_scanners().items() if key.casefold() != scanner.name.casefold()}
    lines = ["# Measured by: flangelayout scan PAGE --scanner NAME --bars ...; real mm for a mm that a scan claims."]
    for name, each in sorted({**others, scanner.name: scanner}.items()):
        lines += ["", f"[{json.dumps(name, ensure_ascii=False)}]"]
        lines += [f"{key} = {getattr(each, key):.6f}" for key in _NUMBERS]
        lines += [f"date = {json.dumps(each.date)}"]
    file = scanners_file()
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        write_whole(file, ("\n".join(lines) + "\n").encode())
    except OSError as problem:
        reason = problem.strerror or str(problem)
        raise OutputError.of(FileProblem.CANNOT_BE_WRITTEN, str(file), reason=reason) from None
    return file


def _sound(table: object) -> bool:
    """Whether a record is as this program writes it."""
    if not isinstance(table, dict) or set(table) != {*_NUMBERS, "date"} or not isinstance(table["date"], str):
        return False
    numbers = [table[key] for key in _NUMBERS]
    return all(type(each) in (int, float) for each in numbers) and _within(*numbers)


def _within(across: float, along: float, skew: float) -> bool:
    factors = all(LEAST_FACTOR <= factor <= MOST_FACTOR for factor in (across, along))
    return factors and math.isfinite(skew) and abs(skew) <= _MOST_SKEW
