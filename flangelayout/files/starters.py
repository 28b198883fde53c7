"""Starter jobs to edit and samples to try, where they stand in the project or in an installed package."""

import json
import re
from importlib.resources.abc import Traversable
from pathlib import PurePath

from msgspec import Struct

from flangelayout.files.templates import ending_in, samples_folder, templates_folder
from flangelayout.units import Unit

_TABLE = re.compile(r"(?:# )?\[{1,2}(?P<name>[a-z_.]+)\]{1,2}")
_NUMBER = re.compile(r"(?P<key>(?:# )?(?P<name>[a-z_]+) = )(?P<value>[-+]?\d+(?:\.\d+)?|\"[\d /]+\")(?P<rest>.*)")


class Starter(Struct, frozen=True):
    """A starter job: its kind (the file's name), the first line of its comment, and the file as it is."""

    kind: str
    summary: str
    content: bytes


def starters() -> dict[str, Starter]:
    """Every starter by its kind, in order of name.

    Raises:
        OutputError: If the folder is missing, as in a damaged installation.
    """
    found = ending_in(templates_folder(), ".toml")
    return {kind: _read(kind, file.read_bytes()) for kind, file in found.items()}


def samples() -> dict[str, Traversable]:
    """The file of every sample by its name, in order of name: jobs, and a list of them.

    Raises:
        OutputError: If the folder is missing, as in a damaged installation.
    """
    found = ending_in(samples_folder(), ".toml", ".csv")
    return {name: file for name, file in found.items() if file.name.endswith(".toml") or name.endswith("-list")}


def starter_list() -> bytes:
    """A list to be filled in: a ring by its sizes, one by its standard, a blind, with the headings people write.

    It opens in a spreadsheet; its rows can be drawn as they are.
    """
    return (templates_folder() / "list.csv").read_bytes()


def _read(kind: str, content: bytes) -> Starter:
    first = content.decode("utf-8").partition("\n")[0]
    return Starter(kind, first.removeprefix("#").strip(), content)


def starter_copy(starter: Starter, file: PurePath, unit: Unit | None) -> bytes:
    """The text of a starter for a file of its own.

    Its number is the file's name, so that two copies never make the same files, and its comment says how to draw
    that file. Where the shop works in the other unit, the job does, too; every length keeps its size and says in
    which unit that is.

    Args:
        starter: What is copied.
        file: Where it goes.
        unit: That of the shop; ``None`` leaves the starter's.
    """
    text = starter.content.decode("utf-8")
    text = text.replace(f"flangelayout draw {starter.kind}.toml", f"flangelayout draw {_quoted(file.name)}", 1)
    number = json.dumps(file.stem, ensure_ascii=False)
    text = re.sub(r'(?m)^number = "[^"]*"', lambda _: f"number = {number}", text, count=1)
    written = Unit.IN if re.search(r'(?m)^units = "in"', text) else Unit.MM
    if unit not in (None, written):
        text = _in_other_unit(text, written, unit)
    return text.encode("utf-8")


def _quoted(name: str) -> str:
    return f'"{name}"' if re.search(r"\s", name) else name


def _in_other_unit(text: str, written: Unit, unit: Unit) -> str:
    """The same plate in another unit: a bare length gets the one that it was written in, in comments, too."""
    from flangelayout.job.schema.tree import Shape, leaf_at

    lines, table = [], ""
    for line in text.split("\n"):
        if match := _TABLE.match(line):
            table = match["name"]
        match = _NUMBER.fullmatch(line)
        leaf = match and (leaf_at(f"{table}.1.{match['name']}") or leaf_at(f"{table}.{match['name']}"))
        lines.append(_named(match, written) if match and leaf and leaf.shape is Shape.LENGTH else line)
    return "\n".join(lines).replace(f'units = "{written.value}"', f'units = "{unit.value}"', 1)


def _named(match: re.Match[str], unit: Unit) -> str:
    """A line whose length says its unit; the comment behind it stays where it was, if there is room."""
    value = f'"{match["value"].strip(chr(34))} {unit.value}"'
    more, rest = len(value) - len(match["value"]), match["rest"]
    room = len(rest) - len(rest.lstrip(" ")) - 1
    return f"{match['key']}{value}{rest[max(0, min(more, room)) :]}"
