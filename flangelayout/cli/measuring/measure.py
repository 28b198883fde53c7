"""``flangelayout measure``: from caliper readings to the bolt circle and the standard behind it."""

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, TypedDict, Unpack

import click

from flangelayout.cli.measuring.taken import (
    SeveralReadings,
    length_of,
    reading_options,
    readings_taken,
    sizes_taken,
)
from flangelayout.cli.parts import BOXES_HELP
from flangelayout.errors import InputError, Problem, UnitError
from flangelayout.provenance import Family
from flangelayout.survey import Assumptions, Kind, Reading, SurveyInput
from flangelayout.units import Unit, counted, parse_length
from flangelayout.value import replace

if TYPE_CHECKING:
    from flangelayout.standards import Pattern, PublishedTable
    from flangelayout.survey import Survey

_WITHIN_HELP = (
    "What a reading is good to, plus or minus, at 95 %. Unless given, common practice: 0.2 mm between edges and on "
    "holes, studs and coordinates; 0.3 mm on a bore; 0.5 mm between eyeballed centers, over studs, to bore or rim and "
    "on the outside diameter."
)
_FAMILY_HELP = f"Kind of part that alone is looked for: {', '.join(family.value for family in Family)}."
_HINTS = ("--within sets it", "--drilling-tolerance sets it for all, --family looks for one kind of part alone")


class _MeasureOptions(TypedDict):
    """The options as click hands them over; readings are kept in its context."""

    holes: int | None
    pitches: int | None
    unit: str
    within: str | None
    drilling_tolerance: str | None
    family: str | None
    home_made: float | None
    set_aside: tuple[int, ...]
    readings: Path | None
    job: Path | None
    past: Path | None
    expect: str | None
    working: bool
    as_json: bool
    save: Path | None
    form: bool
    boxes: str | None
    paper: str | None


@click.command("measure", cls=SeveralReadings)
@click.argument("keys", nargs=-1, metavar="[KEY=VALUE]...")
@click.option("--holes", type=int, metavar="N", help="Holes on the circle; found from the readings if they allow it.")
@reading_options
@click.option("--pitches", type=int, metavar="K", help="Pitches each two-hole reading spans; 1 unless given.")
@click.option("--unit", type=click.Choice([unit.value for unit in Unit]), default="mm", help="Unit of plain numbers.")
@click.option("--within", metavar="LENGTH", help=_WITHIN_HELP)
@click.option("--drilling-tolerance", metavar="LENGTH", help="What the made circle may be off, plus or minus.")
@click.option("--family", type=click.Choice([family.value for family in Family]), metavar="NAME", help=_FAMILY_HELP)
@click.option("--home-made", type=float, metavar="SHARE", help="Share of parts, 0 to 1, in no table; 0.1 unless given.")
@click.option("--set-aside", type=int, multiple=True, metavar="N", help="Leave reading N out of the fit.")
@click.option("--readings", type=click.Path(path_type=Path), metavar="FILE.csv", help="Read a file of readings.")
@click.option("--job", type=click.Path(path_type=Path), metavar="JOB.toml", help="Use the survey of a job.")
@click.option("--past", type=click.Path(path_type=Path), metavar="FOLDER", help="Look among the jobs of a folder, too.")
@click.option("--expect", metavar="CIRCLE", help="The other way: what to read on a circle (length or designation).")
@click.option("--working", is_flag=True, help="Show the arithmetic step by step.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document, lengths in mm.")
@click.option(
    "--save", type=click.Path(path_type=Path), metavar="JOB.toml", help="Keep the readings in a new job file."
)
@click.option("--form", is_flag=True, help="Print a form for a flange of --holes holes, with a box for each reading.")
@click.option("--boxes", metavar="TEXT", help=BOXES_HELP)
@click.option("--paper", metavar="NAME", help="Of the form: A4, A3, Letter or Tabloid.")
@click.pass_context
def measure_command(context: click.Context, keys: tuple[str, ...], **options: Unpack[_MeasureOptions]) -> None:
    """Find the bolt circle, its uncertainty and the standard behind it from caliper readings.

    A length is a plain number in --unit, or carries its own: "92 mm", "3-5/8 in"; several may stand after one option:
    --same-edges 68.8 69.0 68.7. Two-hole readings span neighbors unless --pitches or an ending says otherwise: 169.7@2
    spans two pitches, 91.8@1-2 runs from hole 1 to hole 2. With --save, KEY=VALUE is what else the job is to hold, as
    for flangelayout new: thk=20 material="carbon steel plate".
    """
    unit = Unit(options["unit"])
    if options["form"]:
        from flangelayout.cli.parts.forms import write_survey_form

        click.echo(write_survey_form(options["holes"], unit, options["paper"]))
    elif options["expect"] is not None:
        _print_expected(context, options, options["expect"], unit)
    else:
        _print_survey(context, options, keys, unit)


def _print_survey(context: click.Context, options: _MeasureOptions, keys: tuple[str, ...], unit: Unit) -> None:
    """Measures and prints; exits 1 if the readings contradict each other."""
    more = _keys(keys, options["save"], unit)
    survey_input = _survey_input(context, options, unit)
    from flangelayout.survey.survey import measure_input

    aside = sorted({*survey_input.set_aside, *(number - 1 for number in options["set_aside"])})
    survey = measure_input(replace(survey_input, set_aside=tuple(aside)))
    if options["as_json"]:
        import json

        from flangelayout.survey.words.report import survey_data

        click.echo(json.dumps(survey_data(survey), indent=2, ensure_ascii=False))
    else:
        _print_lines(survey, unit, options["working"])
    if options["save"] is not None:
        from flangelayout.cli.measuring.saving import save_job

        click.echo(save_job(options["save"], survey_input, survey, unit, more), err=options["as_json"])
    if not survey.agrees:
        context.exit(1)


def _keys(keys: tuple[str, ...], save: Path | None, unit: Unit) -> dict[str, object]:
    """What a saved job is to hold beside its readings."""
    if not keys:
        return {}
    from flangelayout.batch.written import written_tables

    if save is None:
        raise InputError(Problem(keys[0], "is a key of a job that is saved: add --save JOB.toml, or leave it out"))
    return written_tables(keys, unit)


def _print_lines(survey: "Survey", unit: Unit, with_working: bool) -> None:
    from flangelayout.survey.words.wording import Hints, survey_lines

    click.echo("\n".join(survey_lines(survey, unit, Hints(*_HINTS))))
    if with_working:
        from flangelayout.survey.words.working import working, working_lines

        click.echo("\nWorking\n" + "\n".join(working_lines(working(survey, unit))))


def _survey_input(context: click.Context, options: _MeasureOptions, unit: Unit) -> SurveyInput:
    """Everything the options, the file and the job say, with every problem in one go."""
    problems: list[Problem] = []
    within = length_of(options["within"], "--within", unit, problems)
    tolerance = length_of(options["drilling_tolerance"], "--drilling-tolerance", unit, problems)
    readings = [
        *readings_taken(context, unit, options["pitches"], problems),
        *_from_boxes(options["boxes"], options["holes"], unit),
        *_from_file(options["readings"], unit, problems),
    ]
    if problems:
        raise InputError(*problems)
    job = _from_job(options["job"])
    readings = [*job.readings, *readings]
    return SurveyInput(
        readings=tuple(reading if reading.within else replace(reading, within=within) for reading in readings),
        hole_count=job.hole_count if options["holes"] is None else options["holes"],
        hole_diameter=job.hole_diameter,
        drilling_tolerance=job.drilling_tolerance if tolerance is None else tolerance,
        assume=_assumptions(options, job.assume),
        own=(*job.own, *_past(options["past"])),
        set_aside=job.set_aside,
        drawn_hole=job.drawn_hole,
    )


def _assumptions(options: _MeasureOptions, assume: Assumptions) -> Assumptions:
    """What a job assumes, with what the options say instead."""
    if options["family"] is not None:
        assume = replace(assume, family=Family(options["family"]))
    if options["home_made"] is not None:
        assume = replace(assume, home_made=options["home_made"])
    return assume


def _from_boxes(text: str | None, holes: int | None, unit: Unit) -> tuple[Reading, ...]:
    """The readings of the boxes of a form; none where none is typed back."""
    if text is None:
        return ()
    from flangelayout.cli.parts.forms import survey_readings

    return survey_readings(text, holes, unit)


def _from_file(path: Path | None, unit: Unit, problems: list[Problem]) -> tuple[Reading, ...]:
    if path is None:
        return ()
    from flangelayout.survey import parse_readings

    try:
        return parse_readings(path.read_text(encoding="utf-8"), unit, str(path))
    except (OSError, UnicodeDecodeError) as error:
        reason = error.strerror if isinstance(error, OSError) else "it is not UTF-8 text"
        problems.append(Problem("--readings", f"{path} cannot be read: {reason}"))
        return ()


def _from_job(path: Path | None) -> SurveyInput:
    """The survey of a job; without a job only the shop's own patterns."""
    if path is None:
        return SurveyInput((), own=tuple(row for table in _own() for row in table.patterns))
    from flangelayout.job.load import load_survey
    from flangelayout.job.shop import load_shop

    survey = load_survey(path, load_shop())
    if survey is None:
        raise InputError(Problem("--job", f"{path} has no [survey]; add one, or give the readings as options"))
    return survey


def _own() -> "tuple[PublishedTable, ...]":
    """The shop's own patterns, of the settings folder and of this one."""
    from flangelayout.files.settings import settings_folder
    from flangelayout.standards.own import own_tables

    return own_tables(settings_folder(), Path())


def _past(folder: Path | None) -> "Iterator[Pattern]":
    """The bolt circles of the jobs of a folder; how many of its files could not be read is told."""
    if folder is None:
        return
    from flangelayout.job.past import past_jobs
    from flangelayout.job.shop import load_shop

    past = past_jobs(folder, load_shop())
    if past.unread:
        click.echo(f"{counted(len(past.unread), 'job file')} of {folder} cannot be read and took no part", err=True)
    yield from past.patterns


def _print_expected(context: click.Context, options: _MeasureOptions, circle: str, unit: Unit) -> None:
    """What a caliper should read on a circle of a diameter or a designation."""
    from flangelayout.survey import expected_readings

    diameter, holes, sizes = _circle(circle, options["holes"], unit)
    problems: list[Problem] = []
    sizes |= sizes_taken(context, unit, problems)
    if problems:
        raise InputError(*problems)
    table = expected_readings(
        diameter,
        holes,
        hole_diameter=sizes.get(Kind.HOLE_DIAMETER),
        stud_diameter=sizes.get(Kind.STUD_DIAMETER),
        bore=sizes.get(Kind.BORE),
        outside_diameter=sizes.get(Kind.OUTSIDE_DIAMETER),
    )
    if options["as_json"]:
        import json

        from msgspec import to_builtins

        click.echo(json.dumps(to_builtins(table), indent=2))
        return
    from flangelayout.survey.words.wording import expected_lines, expected_working

    click.echo("\n".join(expected_lines(table, unit)))
    if options["working"]:
        click.echo("\nWorking\n" + "\n".join(expected_working(table, unit)))


def _circle(circle: str, holes: int | None, unit: Unit) -> tuple[float, int, dict[Kind, float | None]]:
    """Diameter, hole count and published sizes of what stands after --expect."""
    try:
        diameter = parse_length(circle, unit)
    except UnitError:
        from flangelayout.standards import find

        row = find(circle, "--expect", _own())
        if not row.equally_spaced:
            raise InputError(Problem("--expect", f"{row.designation} has unequal spacing: no one chord")) from None
        return (
            row.bolt_circle,
            row.hole_count,
            {
                Kind.HOLE_DIAMETER: row.hole_diameter,
                Kind.BORE: row.bore,
                Kind.OUTSIDE_DIAMETER: row.outside_diameter,
            },
        )
    if holes is None:
        raise InputError(Problem("--expect", "a diameter alone has no chords; say how many holes with --holes"))
    return diameter, holes, {}
