"""The scanners of this user: one small file of measured factors beside that of the printers."""

import math
from pathlib import Path

from flangelayout.drawing.printer import LEAST_FACTOR, MOST_FACTOR
from flangelayout.drawing.scanner import Scanner
from flangelayout.errors import InputError, Problem
from flangelayout.files.devices import device_called, device_tables, without_device, write_devices
from flangelayout.files.settings import settings_folder
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
    tables = device_tables(file, FileRole.SCANNERS)
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
    if scanner := device_called(name, known_scanners()):
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
    kept = {**without_device(scanner.name, known_scanners()), scanner.name: scanner}
    remark = "Measured by: flangelayout scan PAGE --scanner NAME --bars ...; real mm for a mm that a scan claims."
    return write_devices(scanners_file(), remark, {name: _table(each) for name, each in kept.items()})


def _table(scanner: Scanner) -> dict[str, float | str]:
    return {key: getattr(scanner, key) for key in (*_NUMBERS, "date")}


def _sound(table: object) -> bool:
    """Whether a record is as this program writes it."""
    if not isinstance(table, dict) or set(table) != {*_NUMBERS, "date"} or not isinstance(table["date"], str):
        return False
    numbers = [table[key] for key in _NUMBERS]
    return all(type(each) in (int, float) for each in numbers) and _within(*numbers)


def _within(across: float, along: float, skew: float) -> bool:
    factors = all(LEAST_FACTOR <= factor <= MOST_FACTOR for factor in (across, along))
    return factors and math.isfinite(skew) and abs(skew) <= _MOST_SKEW
