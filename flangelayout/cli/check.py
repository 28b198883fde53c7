"""``flangelayout check``: what will not go together, said before steel is cut."""

import json
from collections.abc import Iterator
from pathlib import Path

import click

from flangelayout.checks.plate.clocking import Clocking, Margins, clocking_cure, clockings
from flangelayout.cli.findings import finding_data
from flangelayout.errors import InputError, Problem
from flangelayout.files.store import FileStore
from flangelayout.job.load import Examined, examine_job
from flangelayout.job.shop import load_shop
from flangelayout.units import angle_text, decimal_text


@click.command("check")
@click.argument("job", metavar="JOB.toml")
@click.option("--into", metavar="DIR", help="Write the checks as a page for the packet into this folder.")
@click.option("--force", is_flag=True, help="Overwrite also a page that is not as this program wrote it.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document, lengths in mm.")
def check_command(job: str, into: str | None, force: bool, as_json: bool) -> int:
    """Check a job: metal left, nut seats, wrench room, bolt spacing, threads, clocking of two circles.

    Exits 1 if a check fails: a contradiction, or a number that breaks its limit. The limits can be set in
    [checks] of the job or of the shop file.
    """
    examined = examine_job(job, load_shop())
    clocked = clockings(examined.flange, examined.limits, examined.unit)
    if as_json:
        click.echo(json.dumps(_data(examined, clocked), indent=2, ensure_ascii=False))
    else:
        for line in _lines(examined, clocked):
            click.echo(line)
    if into is not None:
        _write(examined, Path(into), force, tell=not as_json)
    return 1 if _failed(examined) else 0


def _failed(examined: Examined) -> int:
    return sum(finding.failed for finding in examined.findings)


def _write(examined: Examined, folder: Path, force: bool, tell: bool) -> None:
    if examined.job is None:
        raise InputError(Problem("--into", "a job that contradicts itself has no pages; mend it first"))
    from flangelayout.packet.reports import check_packet

    store = FileStore(folder)
    for name, outcome in store.write(check_packet(examined.job, examined.findings), force=force).items():
        if tell:
            click.echo(f"  {outcome.value:9} {store.folder / name}")


def _lines(examined: Examined, clocked: tuple[Clocking, ...]) -> Iterator[str]:
    failed = _failed(examined)
    yield f"{examined.number}: {failed} {'check' if failed == 1 else 'checks'} failed"
    for finding in examined.findings:
        source = f" [{finding.source}]" if finding.source and finding.source not in finding.text else ""
        yield f"  {finding.severity.value}: {finding.where}: {finding.text}{source}"
    for found in clocked:
        a, b = (examined.flange.group_name(group) for group in (found.group_a, found.group_b))
        metal = f"{decimal_text(found.present.metal, examined.unit)} {examined.unit.value}"
        yield f"  clocking of {a} and {b}: {angle_text(found.present_angle)} from hole to hole now, metal {metal}"
        yield f"    best: {clocking_cure(examined.flange, found, examined.unit)}"
        if found.reason:
            yield f"    {found.reason}"


def _data(examined: Examined, clocked: tuple[Clocking, ...]) -> dict[str, object]:
    return {
        "job": examined.number,
        "passes": _failed(examined) == 0,
        "findings": [finding_data(finding) for finding in examined.findings],
        "clocking": [_clocking(examined, found) for found in clocked],
    }


def _clocking(examined: Examined, found: Clocking) -> dict[str, object]:
    return {
        "a": examined.flange.group_name(found.group_a),
        "b": examined.flange.group_name(found.group_b),
        "best_turn_deg": round(found.best_turn, 9),
        "hole_to_hole_deg": round(found.best_angle, 9),
        "least_metal": round(found.best.metal, 6),
        "best": _margins(found.best),
        "present_hole_to_hole_deg": round(found.present_angle, 9),
        "present": _margins(found.present),
        "limit": round(found.limit.value, 6),
        "period_deg": found.period,
        "reason": found.reason,
        "curve": [{"turn_deg": round(turn, 9), **_margins(margins)} for turn, margins in found.curve],
    }


def _margins(margins: Margins) -> dict[str, float | None]:
    return {
        "metal": round(margins.metal, 6),
        "seat_a": None if margins.seat_a is None else round(margins.seat_a, 6),
        "seat_b": None if margins.seat_b is None else round(margins.seat_b, 6),
    }
