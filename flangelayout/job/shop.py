"""The shop file: what a shop always writes the same, in one file of the user; a job file overrides every key of it.

It holds keys of a job file, and counts as if the job file had them where it does not. The digest of a job names
what is made, so ``units``, ``[cut]`` and ``[machine]`` of the shop file go into it where they apply; name, paper,
border and rules of the sheet do not: a sheet printed again with another title block keeps its digest.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from pydantic import ValidationError

from flangelayout.drawing.textwidth import plain_line
from flangelayout.errors import InputError, Problem
from flangelayout.job.problems import problems_of
from flangelayout.job.schema.checks import ChecksTable
from flangelayout.job.schema.job_file import CutTable, MachineTable, SheetTable, TemplateTable
from flangelayout.job.schema.values import SchemaTable, Text, written_unit
from flangelayout.job.toml_lines import key_lines, line_of

FILE_NAME, BORDERS_FOLDER = "shop.toml", "sheets"
_MOST_BYTES = 200_000
_MADE_BY = ("units", "cut", "machine")
"""Keys that change what is made: part of a job's digest."""


class ShopJobTable(SchemaTable):
    """``[job]`` of the shop file."""

    owner: Text = ""
    drawn_by: Text = ""
    approved_by: Text = ""


class ShopFile(SchemaTable):
    """A whole shop file."""

    units: Literal["mm", "in"] = "mm"
    job: ShopJobTable = ShopJobTable()
    sheet: SheetTable = SheetTable()
    template: TemplateTable = TemplateTable()
    cut: CutTable = CutTable()
    machine: MachineTable = MachineTable()
    checks: ChecksTable = ChecksTable()


@dataclass(frozen=True, slots=True)
class Shop:
    """What a shop always writes the same.

    Attributes:
        keys: Tables and keys as written.
        borders: Folder of the shop's own sheet borders, if there is one.
    """

    keys: Mapping[str, object] = field(default_factory=dict)
    borders: Path | None = None

    def fill(self, data: Mapping[str, object]) -> dict[str, object]:
        """A job's tables with the shop's keys where it has none."""
        return _filled(self.keys, data)

    def fill_made(self, data: Mapping[str, object]) -> dict[str, object]:
        """As :meth:`fill`, with those keys only that change what is made."""
        made = {key: value for key, value in self.keys.items() if key in _MADE_BY and (key, value) != ("units", "mm")}
        return _filled(made, data)


NO_SHOP = Shop()


def shop_folder() -> Path:
    """Where the shop file and the shop's borders stand, whether or not they are there yet."""
    from platformdirs import user_config_path

    return user_config_path("flangelayout", appauthor=False)


def load_shop(folder: Path | None = None) -> Shop:
    """The shop of this user, or of a folder; an empty one where there is no file.

    Raises:
        InputError: If the file cannot be read or anything in it is wrong, with every problem found.
    """
    place = folder if folder is not None else shop_folder()
    file, borders = place / FILE_NAME, place / BORDERS_FOLDER
    try:
        raw = file.read_bytes() if file.exists() else b""
    except OSError as problem:
        raise InputError(Problem("", f"cannot be read ({problem.strerror or problem})"), source=str(file)) from None
    if len(raw) > _MOST_BYTES:
        raise InputError(Problem("", f"has {len(raw)} bytes; a shop file has at most {_MOST_BYTES}"), source=str(file))
    keys = shop_from_text(raw.decode("utf-8-sig", "replace"), str(file)) if raw else {}
    return Shop(keys, borders if borders.is_dir() else None)


def shop_from_text(text: str, source: str = "") -> dict[str, object]:
    """The keys of a shop file, checked.

    Raises:
        InputError: With every problem found, each with its key and line.
    """
    try:
        data = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError, ValueError) as problem:
        raise InputError(Problem("", plain_line(f"is not valid TOML: {problem}")), source=source) from None
    unit = written_unit(data)
    try:
        ShopFile.model_validate(data, context={"unit": unit})
    except ValidationError as wrong:
        lines = key_lines(text)
        problems = problems_of(wrong, data, ShopFile)
        raise InputError(*(p.placed(p.where, line_of(p.where, lines)) for p in problems), source=source) from None
    return data


def _filled(usual: Mapping[str, object], written: Mapping[str, object]) -> dict[str, object]:
    """Nested tables: what is written, and beside it what is usual."""
    filled = dict(written)
    for key, value in usual.items():
        own = filled.get(key)
        if isinstance(value, Mapping) and isinstance(own, Mapping):
            filled[key] = _filled(value, own)
        elif key not in filled:
            filled[key] = value
    return filled
