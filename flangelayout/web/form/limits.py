"""What the page makes at once and what it leaves to the command line, each with its reason."""

import math
from collections.abc import Iterator

from flangelayout.drawing.papers import PAPER_NAMES, paper
from flangelayout.flange import Flange
from flangelayout.job import Job
from flangelayout.web.form.address_tables import Table

LIVE_HOLES = 300
"""Holes up to which the pictures are drawn again at every change: about half a second of one core."""

MADE_HOLES = 1_000
"""Holes up to which the page makes files: about five seconds of one core."""

MADE_PAGES = 12_000
"""Places for a page in a template's grid up to which the page makes files: about two seconds of one core."""

CHECKED_HOLES = 10_000
"""Holes up to which the page checks a job: about a quarter of a second of one core."""

CHECKED_OPENINGS = 300
"""Openings up to which the page checks a job, each against each: about a fifth of a second of one core."""

MOST_READINGS = 60
UPLOAD_BYTES = 2_000_000
UPLOAD_SECONDS = 10.0
_STRIP = 20.0
"""Printed mm along a tile that its furniture takes, at the most."""


def too_many_to_check(tables: Table) -> tuple[str, str] | None:
    """Where a job asks for more than the page looks at, and the reason; ``None`` if it does not.

    Args:
        tables: Of its job file, as written.
    """
    holes = sum(_asked(tables))
    if holes > CHECKED_HOLES:
        advice = "take the job file and use: flangelayout draw"
        return "bolt_circle[1].hole_count", f"{holes} holes are more than this page checks ({CHECKED_HOLES}); {advice}"
    openings = sum(_count(row, "count", 1) for row in _rows(tables, "opening"))
    if openings > CHECKED_OPENINGS:
        advice = "take the job file and use: flangelayout draw"
        return "opening[1].count", f"{openings} openings are more than this page checks ({CHECKED_OPENINGS}); {advice}"
    return None


def too_many_to_draw(flange: Flange) -> str:
    """Why the pictures are not drawn; empty if they are."""
    holes = len(flange.holes())
    if holes <= LIVE_HOLES:
        return ""
    return f"{holes} holes: pictures follow every change up to {LIVE_HOLES}. The files below show them all."


def too_many_to_make(job: Job) -> str:
    """Why the page makes no files of a job; empty if it does."""
    holes = len(job.flange.holes())
    advice = "take the job file and use: flangelayout draw"
    if holes > MADE_HOLES:
        return f"{holes} holes would keep this page busy for long (it makes files up to {MADE_HOLES}); {advice}"
    pages = _template_places(job)
    if pages > MADE_PAGES:
        return f"the template has room for {pages} pages, more than this page makes; choose a larger paper, or {advice}"
    return ""


def _asked(tables: Table) -> Iterator[int]:
    """Holes that each table asks for, as far as its plain numbers say."""
    for row in _rows(tables, "bolt_circle"):
        yield _count(row, "hole_count")
    for row in _rows(tables, "hole_grid"):
        yield _count(row, "columns") * _count(row, "rows")
    for row in _rows(tables, "hole_rectangle"):
        yield 2 * (_count(row, "columns") + _count(row, "rows"))
    for row in _rows(tables, "hole_rings"):
        counts = row.get("hole_counts")
        given = sum(count for count in counts if isinstance(count, int)) if isinstance(counts, list) else 0
        yield given or 3 * _count(row, "ring_count") ** 2
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
