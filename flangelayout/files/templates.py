"""Where the files for users to copy stand: starter jobs, sheet borders, samples; also in an archive."""

from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

from flangelayout.errors import OutputError
from flangelayout.problems.files import FileProblem, ProgramPart


def templates_folder() -> Traversable:
    """The folder of starter jobs and, in ``sheets``, of borders.

    Raises:
        OutputError: If it is missing, as in a damaged installation.
    """
    return _carried("templates", ProgramPart.STARTERS)


def samples_folder() -> Traversable:
    """The folder of sample jobs.

    Raises:
        OutputError: If it is missing, as in a damaged installation.
    """
    return _carried("samples", ProgramPart.SAMPLES)


def ending_in(folder: Traversable, *endings: str) -> dict[str, Traversable]:
    """The files of a folder whose names have one of some endings, by the rest of their names, in order."""
    found = {file.name: file for file in folder.iterdir() if file.name.endswith(endings) and file.name[0] != "."}
    return {
        name.removesuffix(next(ending for ending in endings if name.endswith(ending))): found[name]
        for name in sorted(found)
    }


def _carried(name: str, part: ProgramPart) -> Traversable:
    """A folder that an installed package has inside, and the project beside it."""
    beside: Traversable = Path(__file__).parents[2] / name
    for folder in (files("flangelayout") / name, beside):
        if folder.is_dir():
            return folder
    raise OutputError.of(FileProblem.PART_OF_PROGRAM_MISSING, str(Path(__file__).parents[1]), part=part)
