"""``flangelayout check``: what will not go together, said before steel is cut."""

import json
from collections.abc import Iterator
from pathlib import Path

import click

from flangelayout.checks import Result, tally
from flangelayout.checks.facts import Shortage
from flangelayout.checks.plate.clocking import Clocking, TurnMargins, clocked, clockings
from flangelayout.cli.findings import finding_data, finding_lines, needed_text
from flangelayout.errors import InputError, Problem
from flangelayout.files.store import FileStore
from flangelayout.job.load import Examined, examine_job
from flangelayout.job.shop import load_shop
from flangelayout.units import angle_text, decimal_text
from flangelayout.views.words.findings import hopeless_text, tally_text, turn_text


@click.command("check")
@click.argument("job", metavar="JOB.toml")
@click.option("--into", metavar="DIR", help="Write the checks as a page for the packet into this folder.")
@click.option("--force", is_flag=True, help="Overwrite also a page that is not as this program wrote it.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document, lengths in mm.")
def check_command(job: str, into: str | None, force: bool, as_json: bool) -> int:
    """Check a job: standard, bolts in their holes, metal left, recesses, nut seats, wrenches, threads, mates.

    Lists every check with its value, limit, source and result, and why one was not run. Exits 1 if one
    fails. Limits can be set, and checks left out, in [checks] of the job or of the shop file.
    """
    examined = examine_job(job, load_shop())
    found = clockings(examined.flange, examined.limits)
    if as_json:
        click.echo(json.dumps(_data(examined, found), indent=2, ensure_ascii=False))
    else:
        for line in _lines(examined, found, job):
            click.echo(line)
    if into is not None:
        _write(examined, Path(into), force, tell=not as_json)
    return 1 if tally(examined.findings).failed else 0


def _write(examined: Examined, folder: Path, force: bool, tell: bool) -> None:
    if examined.job is None:
        raise InputError(Problem("--into", "a job that contradicts itself has no pages; mend it first"))
    from flangelayout.packet.reports import check_packet

    store = FileStore(folder)
    for name, outcome in store.write(check_packet(examined.job, examined.findings), force=force).items():
        if tell:
            click.echo(f"  {outcome.value:9} {store.folder / name}")


def _lines(examined: Examined, found: tuple[Clocking, ...], file: str) -> Iterator[str]:
    flange, unit = examined.flange, examined.unit
    yield f"{examined.number}: {tally_text(examined.findings, needed_text)}"
    for result in (Result.FAILED, Result.NOTED, Result.NOT_RUN, Result.PASSED):
        for finding in examined.findings:
            if finding.result is result:
                yield from (f"  {line}" for line in finding_lines(flange, finding, unit, file))
    for each in found:
        a, b = (flange.group_name(group) for group in (each.group_a, each.group_b))
        facts = clocked(flange, each, Shortage.METAL)
        metal = f"{decimal_text(each.present.metal, unit)} {unit.value}"
        yield f"  clocking of {a} and {b}: {angle_text(each.present_angle)} from hole to hole now, metal {metal}"
        yield f"    best: {turn_text(flange, facts, unit)}"
        if each.hopeless is not None:
            yield f"    {hopeless_text(flange, facts, unit)}"


def _data(examined: Examined, found: tuple[Clocking, ...]) -> dict[str, object]:
    count = tally(examined.findings)
    return {
        "job": examined.number,
        "passes": count.failed == 0,
        "checks": {
            "run": count.passed + count.failed,
            "passed": count.passed,
            "failed": count.failed,
            "not_run": count.not_run,
        },
        "findings": [finding_data(examined.flange, finding, examined.unit) for finding in examined.findings],
        "clocking": [_clocking(examined, each) for each in found],
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
        "reason": hopeless_text(examined.flange, clocked(examined.flange, found, Shortage.METAL), examined.unit),
        "curve": [{"turn_deg": round(turn, 9), **_margins(margins)} for turn, margins in found.curve],
    }


def _margins(margins: TurnMargins) -> dict[str, float | None]:
    return {
        "metal": round(margins.metal, 6),
        "seat_a": None if margins.seat_a is None else round(margins.seat_a, 6),
        "seat_b": None if margins.seat_b is None else round(margins.seat_b, 6),
    }
