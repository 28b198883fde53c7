"""The printers of this user: one small file of measured factors, found through platformdirs."""

from pathlib import Path
from typing import TYPE_CHECKING

from flangelayout.drawing.papers import PAPER_NAMES
from flangelayout.drawing.printer import LEAST_FACTOR, MOST_FACTOR, Printer
from flangelayout.errors import InputError, Problem
from flangelayout.files.devices import device_called, device_tables, without_device, write_devices
from flangelayout.problems.cures import Cure
from flangelayout.problems.files import FileProblem, FileRole
from flangelayout.value import replace

if TYPE_CHECKING:
    from flangelayout.job import Job

FILE_NAME = "printers.toml"
_LONGEST_NAME = 60


def printers_file() -> Path:
    """Where the file stands, whether or not it is there yet."""
    from platformdirs import user_config_path

    return user_config_path("flangelayout", appauthor=False) / FILE_NAME


def known_printers() -> dict[str, Printer]:
    """Every measured printer by its name, in order of name; none where there is no file.

    Raises:
        InputError: If the file cannot be read or holds what this program would not write.
    """
    file = printers_file()
    tables = device_tables(file, FileRole.PRINTERS)
    printers, problems = {}, []
    for name, table in sorted(tables.items()):
        wrong = _wrong(name, table)
        if wrong:
            problems.append(wrong.placed(name, cure=Cure.MEASURE_PRINTER_AGAIN))
        else:
            printers[name] = _printer(name, table)
    if problems:
        raise InputError(*problems, source=str(file))
    return printers


def find_printer(name: str, where: str = "template.printer") -> Printer:
    """The measured printer of that name.

    Args:
        name: As it was measured under; capitals do not matter.
        where: Key or option that asks for it, for the message.

    Raises:
        InputError: If there is none, with the nearest name.
    """
    from difflib import get_close_matches

    known = known_printers()
    if printer := device_called(name, known):
        return printer
    near = get_close_matches(name, known, n=1)
    if near:
        raise InputError.of(FileProblem.PRINTER_UNKNOWN, where, Cure.DID_YOU_MEAN, name=name, near=near[0])
    raise InputError.of(FileProblem.PRINTER_UNKNOWN, where, Cure.MEASURE_PRINTER_FIRST, name=name)


def with_printer(job: "Job", name: str = "", where: str = "template.printer") -> "Job":
    """The job with the measured printer its template is for, as this user measured it.

    Args:
        job: Any job; one whose template is for no printer comes back as it is.
        name: The printer, in place of the one that the job names.
        where: Key or option that asks for it, for the message.

    Raises:
        InputError: If it has not been measured, or the file of printers cannot be used.
    """
    wanted = name or job.template.printer
    if not wanted:
        return job
    printer = find_printer(wanted, where)
    return replace(job, template=replace(job.template, printer=wanted, measured=printer))


def keep_printer(printer: Printer) -> Path:
    """Write a printer into the file, in place of an older record of the same name; the file's path.

    Raises:
        InputError: If the present file is damaged.
        OutputError: If it cannot be written.
    """
    return _write({**without_device(printer.name, known_printers()), printer.name: printer})


def forget_printer(name: str) -> Path:
    """Take a printer out of the file; the file's path.

    Raises:
        InputError: If it is not there.
    """
    return _write(without_device(find_printer(name, "printer").name, known_printers()))


def check_name(name: str) -> str:
    """The name as it is kept.

    Raises:
        InputError: If it is empty, too long or cannot be printed.
    """
    kept = " ".join(name.split())
    if not kept or len(kept) > _LONGEST_NAME or not kept.isprintable():
        raise InputError.of(FileProblem.PRINTER_NAME, "printer", most=_LONGEST_NAME)
    return kept


def _write(printers: dict[str, Printer]) -> Path:
    remark = "Measured by: flangelayout printer NAME --x ... --y ...; printed mm for a mm in the file."
    return write_devices(printers_file(), remark, {name: _table(printer) for name, printer in printers.items()})


def _table(printer: Printer) -> dict[str, float | str]:
    skew = {} if printer.skew_deg is None else {"skew_deg": printer.skew_deg}
    return {"across": printer.across, "along": printer.along, "paper": printer.paper, "date": printer.date, **skew}


_KINDS: dict[str, type | tuple[type, ...]] = {
    "across": (int, float),
    "along": (int, float),
    "paper": str,
    "date": str,
    "skew_deg": (int, float),
}


def _wrong(name: str, table: object) -> Problem | None:
    """What is wrong with a record, or ``None``."""
    if not isinstance(table, dict):
        return Problem(name, FileProblem.PRINTER_NO_TABLE, name=name)
    missing = [key for key in _KINDS if key != "skew_deg" and key not in table]
    if missing:
        return Problem(name, FileProblem.PRINTER_KEY_MISSING, name=name, key=missing[0])
    for key, value in table.items():
        kind = _KINDS.get(key)
        if kind is None or not isinstance(value, kind) or isinstance(value, bool):
            return Problem(name, FileProblem.PRINTER_KEY_FOREIGN, name=name, key=key)
    if table["paper"] not in PAPER_NAMES:
        return Problem(name, FileProblem.PRINTER_PAPER_UNKNOWN, name=name, paper=table["paper"])
    for factor in (table["across"], table["along"]):
        if not LEAST_FACTOR <= factor <= MOST_FACTOR:
            return Problem(
                name, FileProblem.PRINTER_FACTOR, name=name, factor=factor, least=LEAST_FACTOR, most=MOST_FACTOR
            )
    return None


def _printer(name: str, table: dict[str, object]) -> Printer:
    across, along, skew = (float(str(table[key])) if key in table else None for key in ("across", "along", "skew_deg"))
    return Printer(name, across or 1.0, along or 1.0, str(table["paper"]), str(table["date"]), skew)
