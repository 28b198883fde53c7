"""What the page makes at once and what it leaves to the command line, each with its reason."""

from flangelayout.flange import Flange
from flangelayout.web.flat import Table

LIVE_HOLES = 300
"""Holes up to which the pictures are drawn again at every change: about half a second of one core."""

MADE_HOLES = 1_000
"""Holes up to which the page makes files: about five seconds of one core."""

CHECKED_HOLES = 10_000
"""Holes up to which the page checks a job: about a quarter of a second of one core."""

MOST_READINGS = 60
UPLOAD_BYTES = 400_000
UPLOAD_SECONDS = 10.0


def too_many_to_check(tables: Table) -> str:
    """Why the job of some tables is not looked at; empty if it is."""
    rows = tables.get("bolt_circle")
    counts = [row.get("hole_count", 0) for row in rows if isinstance(row, dict)] if isinstance(rows, list) else []
    holes = sum(count for count in counts if isinstance(count, int) and count > 0)
    if holes <= CHECKED_HOLES:
        return ""
    return (
        f"{holes} holes are more than this page checks ({CHECKED_HOLES}); take the job file and use: flangelayout draw"
    )


def too_many_to_draw(flange: Flange) -> str:
    """Why the pictures are not drawn; empty if they are."""
    holes = len(flange.holes())
    if holes <= LIVE_HOLES:
        return ""
    return f"{holes} holes: pictures follow every change up to {LIVE_HOLES}. The files below show them all."


def too_many_to_make(flange: Flange) -> str:
    """Why the page makes no files; empty if it does."""
    holes = len(flange.holes())
    if holes <= MADE_HOLES:
        return ""
    return (
        f"{holes} holes would keep this page busy for long (it makes files up to {MADE_HOLES}); "
        "take the job file and use: flangelayout draw"
    )
