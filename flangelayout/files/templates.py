"""Where the files for users to copy stand: starter jobs, sheet borders, samples."""

from pathlib import Path

from flangelayout.errors import OutputError


def templates_folder() -> Path:
    """The folder of starter jobs and, in ``sheets``, of borders.

    Raises:
        OutputError: If it is missing, as in a damaged installation.
    """
    return _carried("templates", "starter jobs")


def samples_folder() -> Path:
    """The folder of sample jobs.

    Raises:
        OutputError: If it is missing, as in a damaged installation.
    """
    return _carried("samples", "samples")


def _carried(name: str, what: str) -> Path:
    """A folder that an installed package has inside, and the project beside it."""
    package = Path(__file__).parents[1]
    for folder in (package / name, package.parent / name):
        if folder.is_dir():
            return folder
    raise OutputError(f"{package}: the {what} are missing; install flangelayout again")
