"""What the page makes at once and what it leaves to the command line, each with its reason."""

import math
from collections.abc import Iterator
from contextlib import suppress

from pydantic import ValidationError

from flangelayout.drawing.papers import PAPER_NAMES, paper
from flangelayout.errors import Problem
from flangelayout.flange import Flange
from flangelayout.job import Job
from flangelayout.job.schema.job_file import pattern_tables
from flangelayout.problems.page import PageProblem
from flangelayout.units import Unit
from flangelayout.web.form.address_tables import Table

LIVE_HOLES = 300
"""Holes up to which sheet, template and cut are drawn again at every change: about half a second of one core."""

LIVE_PAGES = 60
"""Places for a page in a template's grid up to which a packet is made at once."""

MADE_HOLES = 3_000
"""Holes up to which the page makes files, and draws them when asked: about fifteen seconds of one core."""

MADE_PAGES = 12_000
"""Places for a page in a template's grid up to which the page makes files: about two seconds of one core."""

CHECKED_HOLES = 10_000
"""Holes up to which the page checks a job: about a quarter of a second of one core."""

CHECKED_OPENINGS = 300
"""Openings up to which the page checks a job, each against each: about a fifth of a second of one core."""

LISTED_ROWS = 200
"""Rows up to which the page takes a list: about a second of one core."""

MOST_READINGS = 60
UPLOAD_BYTES = 2_000_000
UPLOAD_SECONDS = 10.0
_STRIP = 20.0
"""Printed mm along a tile that its furniture takes, at the most."""


def too_many_to_check(tables: Table) -> Problem | None:
    """Where a job asks for more than the page looks at; ``None`` if it does not.

    Args:
        tables: Of its job file, as written.
    """
    holes = sum(_asked(tables))
    if holes > CHECKED_HOLES:
        where = "bolt_circle[1].hole_count"
        return Problem(where, PageProblem.TOO_MANY_HOLES_TO_CHECK, count=holes, most=CHECKED_HOLES)
    openings = sum(_count(row, "count", 1) for row in _rows(tables, "opening"))
    if openings > CHECKED_OPENINGS:
        where = "opening[1].count"
        return Problem(where, PageProblem.TOO_MANY_OPENINGS_TO_CHECK, count=openings, most=CHECKED_OPENINGS)
    return None


def too_many_to_draw(flange: Flange) -> str:
    """Why sheet, template and cut are not drawn here; empty if they are."""
    holes = len(flange.holes())
    return "" if holes <= MADE_HOLES else f"{holes} holes: take the job file and use: flangelayout draw"


def drawn_when_asked(flange: Flange) -> str:
    """Why sheet, template and cut are drawn only when asked for; empty if they follow every change."""
    holes = len(flange.holes())
    return "" if holes <= LIVE_HOLES else f"{holes} holes: drawing them takes some seconds."


def takes_long(job: Job) -> bool:
    """Whether making its files takes so long that it is to be stopped when nobody waits for them any more."""
    return len(job.flange.holes()) > LIVE_HOLES or _template_places(job) > LIVE_PAGES


def too_many_to_make(job: Job) -> Problem | None:
    """Why the page makes no files of a job; ``None`` if it does."""
    holes = len(job.flange.holes())
    if holes > MADE_HOLES:
        return Problem("", PageProblem.TOO_MANY_HOLES_TO_MAKE, count=holes, most=MADE_HOLES)
    pages = _template_places(job)
    if pages > MADE_PAGES:
        return Problem("", PageProblem.TOO_MANY_PAGES_TO_MAKE, count=pages)
    return None


def _asked(tables: Table) -> Iterator[int]:
    """Holes that each table asks for at most."""
    for row in _rows(tables, "bolt_circle"):
        yield _count(row, "hole_count")
    unit = {"unit": Unit.IN if tables.get("units") == Unit.IN.value else Unit.MM}
    for name, table in pattern_tables().items():
        for row in _rows(tables, name):
            with suppress(ValidationError):  # told where the job is read
                yield table.model_validate(row, context=unit).most_holes()
    yield len(_rows(tables, "hole"))


def _rows(tables: Table, name: str) -> list[Table]:
    rows = tables.get(name)
    return [row for row in rows if isinstance(row, dict)] if isinstance(rows, list) else []


def _count(row: Table, name: str, usual: int = 0) -> int:
    count = row.get(name, usual)
    return count if isinstance(count, int) and count > 0 else usual


def _template_places(job: Job) -> int:
    """Places of the grid that the template is parted into; 1 where it is not parted into sheets."""
    settings = job.template
    if settings.paper not in PAPER_NAMES:
        return 1
    page, box = paper(settings.paper), job.flange.box()
    taken = 2 * settings.margin + settings.overlap + _STRIP
    across = math.ceil(box.width / max(page.width - taken, 1.0))
    return across * math.ceil(box.height / max(page.height - taken, 1.0))
