"""A shop's own patterns: the file of them in the settings folder and the one beside a job."""

from pathlib import Path

from flangelayout.files.reading import read_text
from flangelayout.job.shop import shop_folder
from flangelayout.problems.files import FileRole
from flangelayout.standards.own import own_table
from flangelayout.standards.tables import PublishedTable

FILE_NAME = "patterns.csv"
_MOST_BYTES = 1_000_000


def own_tables(*folders: Path) -> tuple[PublishedTable, ...]:
    """The tables of own patterns of the settings folder and of other folders; none where there is no file.

    Raises:
        InputError: If a file cannot be read or anything in it is wrong, with every problem found.
    """
    places = dict.fromkeys(folder.resolve() for folder in (shop_folder(), *folders))
    return tuple(_table(folder / FILE_NAME) for folder in places if (folder / FILE_NAME).exists())


def _table(path: Path) -> PublishedTable:
    return own_table(read_text(path, _MOST_BYTES, FileRole.OWN_PATTERNS), str(path))
