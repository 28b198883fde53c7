"""Where the files for users to copy stand: starter jobs and sheet borders."""

from pathlib import Path

from flangelayout.errors import OutputError


def templates_folder() -> Path:
    """The folder of starter jobs and, in ``sheets``, of borders: inside an installed package, else beside it.

    Raises:
        OutputError: If it is missing, as in a damaged installation.
    """
    package = Path(__file__).parents[1]
    for folder in (package / "templates", package.parent / "templates"):
        if folder.is_dir():
            return folder
    raise OutputError(f"{package}: the starter jobs are missing; install flangelayout again")
