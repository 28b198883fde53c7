"""Small files of measured devices, one table each: printers, scanners."""

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any, TypeVar

from flangelayout.errors import InputError, OutputError, Problem
from flangelayout.files.reading import read_file
from flangelayout.files.whole import write_whole
from flangelayout.problems.files import FileProblem, FileRole

_Device = TypeVar("_Device")
_MOST_BYTES = 200_000


def device_tables(file: Path, role: FileRole) -> dict[str, Any]:
    """The tables of a file by the names of their devices; none where there is no file.

    Raises:
        InputError: If it cannot be read or is no TOML.
    """
    import tomllib

    try:
        raw = read_file(file, _MOST_BYTES, role) if file.exists() else b""
        return tomllib.loads(raw.decode("utf-8"))
    except (ValueError, RecursionError) as problem:
        raise InputError(Problem("", FileProblem.DEVICES_DAMAGED, reason=str(problem)), source=str(file)) from None


def device_called(name: str, known: Mapping[str, _Device]) -> _Device | None:
    """The device of that name, if there is one; capitals do not matter."""
    return next((device for key, device in known.items() if key.casefold() == name.casefold()), None)


def without_device(name: str, known: Mapping[str, _Device]) -> dict[str, _Device]:
    """All devices but the one of that name."""
    return {key: device for key, device in known.items() if key.casefold() != name.casefold()}


def write_devices(file: Path, remark: str, tables: Mapping[str, Mapping[str, float | str]]) -> Path:
    """Write the tables of devices in order of name, numbers to six places, and return the file.

    Raises:
        OutputError: If it cannot be written.
    """
    lines = [f"# {remark}"]
    for name, table in sorted(tables.items()):
        lines += ["", f"[{json.dumps(name, ensure_ascii=False)}]"]
        texts = {key: json.dumps(value) if isinstance(value, str) else f"{value:.6f}" for key, value in table.items()}
        lines += [f"{key} = {text}" for key, text in texts.items()]
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        write_whole(file, ("\n".join(lines) + "\n").encode())
    except OSError as problem:
        reason = problem.strerror or str(problem)
        raise OutputError.of(FileProblem.CANNOT_BE_WRITTEN, str(file), reason=reason) from None
    return file
