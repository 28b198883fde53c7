"""The starter jobs of ``templates/``, where they stand in the project or in an installed package."""

from dataclasses import dataclass
from pathlib import Path

from flangelayout.errors import OutputError


@dataclass(frozen=True, slots=True)
class Starter:
    """A starter job: its kind (the file's name), the first line of its comment, and the file as it is."""

    kind: str
    summary: str
    content: bytes


def starters() -> dict[str, Starter]:
    """Every starter by its kind, in order of name.

    Raises:
        OutputError: If the folder is missing, as in a damaged installation.
    """
    folder = _folder()
    return {path.stem: _read(path) for path in sorted(folder.glob("*.toml"))}


def _folder() -> Path:
    """Inside an installed package, else beside it in the project."""
    package = Path(__file__).parent
    for folder in (package / "templates", package.parent / "templates"):
        if folder.is_dir():
            return folder
    raise OutputError(f"{package}: the starter jobs are missing; install flangelayout again")


def _read(path: Path) -> Starter:
    content = path.read_bytes()
    first = content.decode("utf-8").partition("\n")[0]
    return Starter(path.stem, first.removeprefix("#").strip(), content)
