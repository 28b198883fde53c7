"""Borders of sheets: found by name or path, read and checked. A shop copies one and changes it."""

import re
from collections.abc import Iterator
from functools import lru_cache
from importlib.resources.abc import Traversable
from pathlib import Path

from msgspec import Struct
from pydantic import ValidationError

from flangelayout.drawing.border import Border, Cell, Logo, Margins, PaperRules, Shows, Zones
from flangelayout.drawing.papers import PAPER_NAMES, paper
from flangelayout.errors import InputError, Problem
from flangelayout.facts import Length, Unit
from flangelayout.files.templates import ending_in, templates_folder
from flangelayout.geometry.shapes import Box, Point
from flangelayout.job.problems import problems_of
from flangelayout.job.schema.border import BorderFile, CellTable, FrameTable, PaperTable, RowTable
from flangelayout.job.schema.values import written_unit
from flangelayout.job.toml_lines import key_lines, line_of
from flangelayout.job.toml_slips import toml_tables
from flangelayout.problems.job import JobProblem

_MOST_BYTES = 200_000
_NAME = re.compile(r"[\w-]{1,60}")
_SLACK = 0.05
"""Sums of widths written in inches may differ by this many mm."""


class BorderPlaces(Struct, frozen=True):
    """Where borders are looked for.

    Attributes:
        job: Folder that a path is seen from; ``None`` where a job did not come from a file: then a path is refused.
        shop: Folder of the shop's own borders, if there is one.
    """

    job: Path | None = None
    shop: Path | None = None


def load_border(written: str, places: BorderPlaces = BorderPlaces()) -> Border:
    """A border by its name (``iso``) or by the path of a file (``our-border.toml``).

    Raises:
        InputError: If there is none, it cannot be read or anything in it is wrong, with every problem found.
    """
    file = _file(written, places)
    try:
        if isinstance(file, Path) and file.exists() and not file.is_file():
            raise OSError("it is no plain file")  # a pipe is not opened: it might never end
        content = file.read_bytes()
    except OSError as problem:
        reason = problem.strerror or str(problem)
        raise InputError.of(JobProblem.BORDER_UNREADABLE, "sheet.border", written=written, reason=reason) from None
    if len(content) > _MOST_BYTES:
        raise InputError.of(
            JobProblem.BORDER_TOO_LARGE, "sheet.border", written=written, size=len(content), most=_MOST_BYTES
        )
    return border_from_text(content.decode("utf-8-sig", "replace"), file.name.removesuffix(".toml"), str(file))


def border_names(places: BorderPlaces = BorderPlaces()) -> tuple[str, ...]:
    """The names of the borders that are there."""
    return tuple(sorted({name for folder in _folders(places) for name in ending_in(folder, ".toml")}))


@lru_cache(maxsize=16)
def border_from_text(text: str, name: str, source: str = "") -> Border:
    """The border of a TOML text; ``source`` leads the messages.

    Raises:
        InputError: With every problem found, each with its key and line.
    """
    data = toml_tables(text, source)
    problems: list[Problem] = []
    border = _checked(data, name, problems)
    if border is None or problems:
        lines = key_lines(text)
        raise InputError(*(p.placed(p.where, line_of(p.where, lines)) for p in problems), source=source)
    return border


def _file(written: str, places: BorderPlaces) -> Traversable:
    if _NAME.fullmatch(written):
        for folder in _folders(places):
            if (folder / f"{written}.toml").is_file():
                return folder / f"{written}.toml"
        raise InputError.of(JobProblem.NO_SUCH_BORDER, "sheet.border", written=written, choices=border_names(places))
    if places.job is None:
        raise InputError.of(JobProblem.BORDER_PATH_WITHOUT_FILE, "sheet.border", written=written)
    if not written.endswith(".toml"):
        raise InputError.of(JobProblem.NO_BORDER_FILE, "sheet.border", written=written)
    return places.job / written


def _folders(places: BorderPlaces) -> tuple[Traversable, ...]:
    own = (places.shop,) if places.shop else ()
    return (*own, templates_folder() / "sheets")


def _checked(data: dict[str, object], name: str, problems: list[Problem]) -> Border | None:
    unit = written_unit(data)
    try:
        written = BorderFile.model_validate(data, context={"unit": unit})
    except ValidationError as wrong:
        problems += problems_of(wrong, data, BorderFile)
        return None
    block = written.title_block
    cells = tuple(_cells(block.row, block.width, problems))
    logo = None
    if written.logo:
        strokes = tuple(tuple(Point(*place) for place in stroke) for stroke in written.logo.strokes)
        logo = Logo(strokes, tuple((Point(x, y), radius) for x, y, radius in written.logo.circles))
    border = Border(
        name=name,
        margins=_margins(written.frame),
        papers=tuple(_rules(paper_name, table) for paper_name, table in written.paper if table),
        width=block.width,
        height=sum(row.height for row in block.row),
        cells=cells,
        logo=logo,
        revisions=block.revisions,
    )
    problems += _misfits(border)
    return border


def _margins(table: FrameTable) -> Margins:
    return Margins(table.left, table.right, table.top, table.bottom)


def _rules(name: str, table: PaperTable) -> PaperRules:
    zones = table.zones
    return PaperRules(
        paper=name,
        margins=_margins(table.frame) if table.frame else None,
        zones=Zones(zones.long, zones.short, zones.pitch, zones.strip, tuple(zones.sides), zones.start)
        if zones
        else None,
        folds=tuple(table.folds),
        centering=table.centering,
    )


def _cells(rows: list[RowTable], width: float, problems: list[Problem]) -> Iterator[Cell]:
    """Every cell in its room; a row whose widths do not add up is told to ``problems``."""
    tops = [sum(row.height for row in rows[index:]) for index in range(len(rows) + 1)]
    held: list[tuple[int, float, float]] = []
    for index, row in enumerate(rows):
        x = 0.0
        taken = sorted((left, right) for last, left, right in held if last >= index)
        for number, cell in enumerate(row.cells, 1):
            x = _past(x, taken)
            last = index + cell.rows - 1
            if last >= len(rows):
                where = f"title_block.row[{index + 1}].cells[{number}].rows"
                problems.append(Problem(where, JobProblem.CELL_BELOW_LAST_ROW, rows=last - len(rows) + 1))
                last = len(rows) - 1
            yield _cell(cell, Box(x, tops[last + 1], x + cell.width, tops[index]))
            if last > index:
                held.append((last, x, x + cell.width))
            x += cell.width
        end = _past(x, taken)
        if abs(end - width) > _SLACK:
            row_name, unfilled = f"title_block.row[{index + 1}]", JobProblem.CELLS_DO_NOT_FILL_BLOCK
            problems.append(Problem(row_name, unfilled, taken=_paper(end), width=_paper(width)))


def _past(x: float, taken: list[tuple[float, float]]) -> float:
    """The next free place in a row, past the cells that run down into it."""
    for left, right in taken:
        if left - _SLACK <= x < right - _SLACK:
            x = right
    return x


def _cell(table: CellTable, room: Box) -> Cell:
    return Cell(room, table.caption, table.show, table.text, table.text_height)


def _misfits(border: Border) -> Iterator[Problem]:
    """Sizes that leave no room on one of the papers, and a logo larger than its cell."""
    for name in PAPER_NAMES:
        for page in (paper(name), paper(name, landscape=True)):
            frame = border.frame(page)
            if frame.width < border.width - _SLACK or frame.height < border.height + 60:
                yield Problem(
                    "title_block.width",
                    JobProblem.BLOCK_OVER_FRAME,
                    width=_paper(border.width),
                    height=_paper(border.height),
                    paper=name,
                    frame_width=_paper(frame.width),
                    frame_height=_paper(frame.height),
                )
                return
    for rules in border.papers:
        zones, margins = rules.zones, rules.margins or border.margins
        least = min(margins.left, margins.right, margins.top, margins.bottom)
        if zones and zones.strip > least:
            where = f"paper.{rules.paper}.zones"
            yield Problem(where, JobProblem.STRIP_OVER_MARGIN, strip=_paper(zones.strip), margin=_paper(least))
    rooms = [cell.room for cell in border.cells if cell.shows is Shows.LOGO]
    if border.logo and not rooms:
        yield Problem("logo", JobProblem.LOGO_SHOWN_NOWHERE)
    reach = _reach(border.logo) if border.logo and rooms else Point(0.0, 0.0)
    if any(reach.x > room.width or reach.y > room.height for room in rooms):
        yield Problem("logo", JobProblem.LOGO_OVER_CELL, width=_paper(reach.x), height=_paper(reach.y))


def _paper(size: float) -> Length:
    """A size on paper, which is told in mm whatever the job is in."""
    return Length(size, Unit.MM)


def _reach(logo: Logo) -> Point:
    """How far right and up a logo reaches."""
    ends = [place for stroke in logo.strokes for place in stroke]
    ends += [Point(at.x + radius, at.y + radius) for at, radius in logo.circles]
    return Point(max(end.x for end in ends), max(end.y for end in ends)) if ends else Point(0.0, 0.0)
