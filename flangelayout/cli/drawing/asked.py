"""What a call of ``flangelayout draw`` asks of all its jobs, checked before any is read."""

from collections.abc import Sequence
from pathlib import Path
from typing import TypedDict

from flangelayout.batch.meant import ListReading
from flangelayout.batch.run import Request
from flangelayout.errors import InputError, Problem
from flangelayout.files.printers import find_printer, with_printer
from flangelayout.job import Job
from flangelayout.packet.job import Part
from flangelayout.units import Unit
from flangelayout.value import replace
from flangelayout.writers.png import check_rasterizer


class DrawOptions(TypedDict):
    """The options of the command."""

    into: str | None
    only: tuple[str, ...]
    printer: str | None
    flip_tiles: bool
    preview: bool
    bind: str | None
    cores: int | None
    plate: str | None
    reading: ListReading
    folders: bool
    force: bool
    as_json: bool


def request_of(options: DrawOptions, cores: int) -> Request:
    """What is asked of all jobs of a call, which may draw ``cores`` of them at once.

    Raises:
        InputError: If a printer or a part of a packet is not known, or a plate has no size.
        OutputError: If pages are to be pictured and cannot be.
    """
    if options["printer"]:
        find_printer(options["printer"], "--printer")
    if options["preview"]:
        check_rasterizer()
    if options["plate"]:
        from flangelayout.cli.nest import plate_size

        plate_size(options["plate"], Unit.MM)
    parts = _parts(options["only"])
    return Request(
        parts=parts,
        into=Path(options["into"]) if options["into"] else None,
        preview=options["preview"],
        force=options["force"],
        cores=cores,
        by_use=options["folders"],
        as_asked=lambda job: _as_asked(job, parts, options["printer"], options["flip_tiles"]),
    )


def _parts(only: Sequence[str]) -> tuple[Part, ...]:
    if not only:
        return tuple(Part)
    names = [name.strip().lower() for name in ",".join(only).split(",") if name.strip()]
    known = {part.value: part for part in Part}
    wrong = [name for name in names if name not in known]
    if wrong or not names:
        found = f'"{wrong[0]}" is no part' if wrong else "names no part"
        raise InputError(Problem("--only", f"{found} of a packet; use {', '.join(known)}"))
    return tuple(known[name] for name in names)


def _as_asked(job: Job, parts: Sequence[Part], printer: str | None, flip_tiles: bool) -> Job:
    """The job with its template, if there is to be one, as the call wants it printed."""
    if Part.TEMPLATE not in parts:
        return job
    flipped = replace(job, template=replace(job.template, flip_tiles=flip_tiles or job.template.flip_tiles))
    return with_printer(flipped, printer or "")
