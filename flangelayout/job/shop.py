"""The shop file: what a shop always writes the same, in one file of the user; a job file overrides every key of it.

It holds keys of a job file, and counts as if the job file had them where it does not. Its lengths are in its own
``units`` and are read in them before a job takes them over; a job's units are its own and never the shop's, so
that a job file means the same on every computer. The digest of a job names what is made, so what ``[cut]`` and
``[machine]`` of the shop file add goes into it; name, paper, border and rules of the sheet do not: a sheet
printed again with another title block keeps its digest.
"""

from pathlib import Path
from typing import Literal

from msgspec import Struct, field
from pydantic import ValidationError

from flangelayout.errors import InputError
from flangelayout.files.reading import read_file
from flangelayout.files.settings import settings_folder
from flangelayout.job.problems import problems_of
from flangelayout.job.schema.checks import ChecksTable
from flangelayout.job.schema.job_file import CutTable, JobFile, MachineTable, SheetTable, TemplateTable
from flangelayout.job.schema.rates import ShopTable
from flangelayout.job.schema.values import SchemaTable, Text, written_unit
from flangelayout.job.toml_lines import key_lines, line_of
from flangelayout.job.toml_slips import toml_tables
from flangelayout.problems.files import FileRole
from flangelayout.shopwork.rates import RateKey, Rates
from flangelayout.standards import PublishedTable
from flangelayout.standards.own import own_tables
from flangelayout.units import Unit
from flangelayout.value import replace

FILE_NAME, BORDERS_FOLDER = "shop.toml", "sheets"
_MOST_BYTES = 200_000
_MADE_BY = ("cut", "machine")
"""Tables that change what is made: part of a job's digest."""


class ShopJobTable(SchemaTable):
    """``[job]`` of the shop file."""

    owner: Text = ""
    drawn_by: Text = ""
    approved_by: Text = ""


class ShopFile(SchemaTable):
    """A whole shop file."""

    units: Literal["mm", "in"] = "mm"
    job: ShopJobTable = ShopJobTable.model_construct()
    sheet: SheetTable = SheetTable.model_construct()
    template: TemplateTable = TemplateTable.model_construct()
    cut: CutTable = CutTable.model_construct()
    machine: MachineTable = MachineTable.model_construct()
    checks: ChecksTable = ChecksTable.model_construct()
    shop: ShopTable = ShopTable.model_construct()


class Shop(Struct, frozen=True, eq=False):
    """What a shop always writes the same; each is one of its own, so that what is made with it can be kept by it.

    Attributes:
        written: Its file, lengths in mm.
        borders: Folder of the shop's own sheet borders, if there is one.
        patterns: The shop's own patterns, which are looked up like the published rows.
    """

    written: ShopFile = field(default_factory=ShopFile.model_construct)
    borders: Path | None = None
    patterns: tuple[PublishedTable, ...] = ()

    @property
    def unit(self) -> Unit | None:
        """The unit the shop works in, if its file names one; a job's own is its own all the same."""
        return Unit(self.written.units) if "units" in self.written.model_fields_set else None

    @property
    def rates(self) -> Rates:
        """What it reckons with."""
        keys = self.written.shop.rates
        stated = ((key, getattr(keys, key.value)) for key in RateKey)
        return Rates(tuple((key, value) for key, value in stated if value is not None), keys.money, keys.stated)

    def beside(self, folder: Path) -> "Shop":
        """The shop with the patterns that stand in a folder, such as a job's, before its own.

        Raises:
            InputError: If the file of them cannot be read or anything in it is wrong.
        """
        return replace(self, patterns=tuple(dict.fromkeys((*own_tables(folder), *self.patterns))))

    def fill(self, job: JobFile) -> JobFile:
        """A job file with the shop's keys where it has none."""
        tables = {name: _filled(getattr(self.written, name), getattr(job, name)) for name in self._tables()}
        return job.model_copy(update=tables)

    def added(self, job: JobFile) -> dict[str, object]:
        """What of the shop's keys changes what a job makes: those it has not itself, lengths in mm."""
        both = self.fill(job)
        more = {name: _beyond(getattr(both, name), getattr(job, name)) for name in self._tables() if name in _MADE_BY}
        return {name: keys for name, keys in more.items() if keys}

    def _tables(self) -> set[str]:
        return self.written.model_fields_set - {"units", "shop"}


NO_SHOP = Shop()


def load_shop(folder: Path | None = None) -> Shop:
    """The shop of this user, or of a folder, with its own patterns; an empty one where there is no file.

    Raises:
        InputError: If the file cannot be read or anything in it is wrong, with every problem found.
    """
    place = folder if folder is not None else settings_folder()
    file, borders = place / FILE_NAME, place / BORDERS_FOLDER
    written = ShopFile.model_construct()
    if file.exists():
        raw = read_file(file, _MOST_BYTES, FileRole.SHOP)
        written = shop_from_text(raw.decode("utf-8-sig", "replace"), str(file)).written
    return Shop(written, borders if borders.is_dir() else None, own_tables(place))


def shop_from_text(text: str, source: str = "") -> Shop:
    """The shop of a shop file's text, without borders.

    Raises:
        InputError: With every problem found, each with its key and line.
    """
    data = toml_tables(text, source)
    unit = written_unit(data)
    try:
        return Shop(ShopFile.model_validate(data, context={"unit": unit}))
    except ValidationError as wrong:
        lines = key_lines(text)
        problems = problems_of(wrong, data, ShopFile)
        raise InputError(*(p.placed(p.where, line_of(p.where, lines)) for p in problems), source=source) from None


def _filled(usual: SchemaTable, own: SchemaTable) -> SchemaTable:
    """A job's table with the keys of the shop's that it has not; tables within likewise."""
    taken = {}
    for key in usual.model_fields_set:
        value, mine = getattr(usual, key), getattr(own, key)
        if key not in own.model_fields_set:
            taken[key] = value
        elif isinstance(value, SchemaTable) and isinstance(mine, SchemaTable):
            taken[key] = _filled(value, mine)
    return own.model_copy(update=taken)


def _beyond(both: SchemaTable, own: SchemaTable) -> dict[str, object]:
    """The keys of a filled table that a job's own has not, ready for JSON; 0.06 in and 1.524 mm are one length."""
    more: dict[str, object] = {}
    for key in sorted(both.model_fields_set):
        value, mine = getattr(both, key), getattr(own, key)
        if isinstance(value, SchemaTable) and isinstance(mine, SchemaTable):
            more |= {key: inner} if (inner := _beyond(value, mine)) else {}
        elif key not in own.model_fields_set:
            more[key] = round(value, 9) if isinstance(value, float) else both.model_dump(mode="json")[key]
    return more
