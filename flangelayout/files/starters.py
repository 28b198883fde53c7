"""The starter jobs of ``templates/``, where they stand in the project or in an installed package."""

from dataclasses import dataclass
from pathlib import Path

from flangelayout.files.templates import templates_folder


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
    return {path.stem: _read(path) for path in sorted(templates_folder().glob("*.toml"))}


def _read(path: Path) -> Starter:
    content = path.read_bytes()
    first = content.decode("utf-8").partition("\n")[0]
    return Starter(path.stem, first.removeprefix("#").strip(), content)
