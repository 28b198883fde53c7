"""The remarks of a job file: what a person wrote behind a # is kept when the page writes the file anew."""

import re
from collections.abc import Iterator

from flangelayout.job.toml_lines import key_lines

HEAD = ""
"""Where remarks stand that come before everything else, and are parted from it by an empty line."""
BESIDE = "#"
"""Ends the place of a remark that stands behind a value, in its line."""
Remarks = tuple[tuple[str, str], ...]
"""Each with its place: the dotted key, rows counted from 1, that it stands above or behind."""
_ROW = re.compile(r"\[(\d+)\]")
_STRING = re.compile(r"\"(?:[^\"\\]|\\.)*\"|'[^']*'")
_MULTILINE = ('"""', "'''")


def remarks_of(text: str, own: str = "") -> Remarks:
    """The remarks of a TOML text.

    Args:
        text: The text.
        own: A line that the page writes itself, which is no remark of anybody's.
    """
    return tuple((place, said) for place, said in _remarks(text, own) if said)


def _remarks(text: str, own: str) -> Iterator[tuple[str, str]]:
    at = {line: _ROW.sub(r".\1", key) for key, line in key_lines(text).items()}
    block: list[str] = []
    quoted = ""
    begun = False
    for number, line in enumerate(text.split("\n"), 1):
        plain = line.strip()
        if quoted:
            quoted = "" if quoted in line else quoted
        elif number in at:
            yield at[number], "\n".join(block)
            yield f"{at[number]}{BESIDE}", _STRING.sub("", line).partition("#")[2].strip()
            block, begun = [], True
            quoted = next((mark for mark in _MULTILINE if line.count(mark) % 2), "")
        elif plain.startswith("#") and plain != own.strip():
            block.append(plain[1:].strip())
        elif not plain and block and not begun:
            yield HEAD, "\n".join(block)
            block, begun = [], True


def written(said: str) -> list[str]:
    """A remark as lines of a file."""
    return [f"# {_printable(line)}".rstrip() for line in said.splitlines()] if said else []


def _printable(text: str) -> str:
    """What a TOML remark may hold: no control signs."""
    return "".join(sign if sign.isprintable() else " " for sign in text)
