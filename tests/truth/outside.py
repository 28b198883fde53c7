"""A job as a shop meets it: a job file, the command line, and what is on the screen and on the paper afterwards.

Nothing here knows how the program makes its words. A statement is looked for by its claim and its numbers.
"""

import io
import json
import re
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pypdfium2 import PdfDocument

from flangelayout.cli import run
from readers import dxf_document

RECORD = ".flangelayout"
"""The program's own record of what it wrote begins like this; it is no file of a packet."""


@dataclass(frozen=True, slots=True)
class Ran:
    """What a command returned and said, and the files that stand in its folder afterwards."""

    code: int
    out: str
    err: str
    files: dict[str, bytes]

    @property
    def said(self) -> str:
        """Everything on the screen."""
        return self.out + self.err

    @property
    def document(self) -> Any:  # noqa: ANN401 - a JSON document
        """Standard output as the JSON document that it is."""
        return json.loads(self.out)

    @property
    def sheet(self) -> str:
        """Everything that the layout sheet says, its lines joined."""
        return self.printed("_sheet.pdf")

    @property
    def working(self) -> str:
        """Everything that the working page says."""
        return self.printed("_working.pdf")

    def printed(self, ending: str) -> str:
        """Everything that the pages of the one PDF with this ending say."""
        (data,) = (content for name, content in self.files.items() if name.endswith(ending))
        with PdfDocument(data) as document:
            texts = [page.get_textpage().get_text_range() for page in document]
        return " ".join(" ".join(texts).split())

    def circles(self, layer: str) -> list[tuple[float, float, float]]:
        """Center and radius of every circle on a layer of the cut DXF, in its own unit."""
        (data,) = (content for name, content in self.files.items() if "_cut" in name and name.endswith(".dxf"))
        space = dxf_document(data).modelspace()
        found = [each.dxf for each in space.query("CIRCLE") if each.dxf.layer == layer]
        return [(dxf.center.x, dxf.center.y, dxf.radius) for dxf in found]


def job_file(folder: Path, text: str, name: str = "job.toml") -> Path:
    """A job file with this text."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def command(folder: Path, *arguments: object) -> Ran:
    """Any command, run in this process; a traceback of it fails the test."""
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        code = run([str(argument) for argument in arguments])
    files = {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and RECORD not in str(path) and path.suffix not in (".toml", ".csv")
    }
    return Ran(code, out.getvalue(), err.getvalue(), files)


def draw(folder: Path, text: str, *options: object) -> Ran:
    """``flangelayout draw`` of a job of this text, beside its file; only the sheet and the working unless told."""
    wanted = options or ("--only", "sheet,working")
    return command(folder, "draw", job_file(folder, text), *wanted)


def check(folder: Path, text: str) -> Ran:
    """``flangelayout check`` of a job of this text."""
    return command(folder, "check", job_file(folder, text))


def checked(folder: Path, text: str) -> tuple[int, Any]:
    """Exit code and JSON document of ``check``."""
    ran = command(folder, "check", job_file(folder, text), "--json")
    return ran.code, ran.document


def says(text: str, *numbers: str) -> bool:
    """Whether each of these numbers stands in the text as a number of its own, not inside a longer one."""
    return all(re.search(rf"(?<![\d.,]){re.escape(number)}(?:\.?0+)?(?![\d]|[.,]\d)", text) for number in numbers)


def points_at(said: str, text: str, value: str) -> bool:
    """Whether a message gives a line of the table in which ``value = ...`` stands in the job file."""
    (line,) = (number for number, each in enumerate(text.splitlines(), 1) if each == f"value = {value}")
    return any(f"line {near}:" in said for near in range(line - 2, line + 3))


def claims_match(text: str) -> bool:
    """Whether a text claims that the drilling is that of a standard, with no word of a difference."""
    return "drilled to match" in text.lower().replace("not drilled to match", "")


def denies_match(text: str) -> bool:
    """Whether a text says that the drilling is not as the standard that was named."""
    return bool(re.search(r"\bnot as\b", text, re.IGNORECASE))
