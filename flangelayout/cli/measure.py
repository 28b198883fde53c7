"""``flangelayout measure``: from caliper readings to the bolt circle and the standard behind it."""

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any, TypedDict, TypeVar, Unpack

import click

from flangelayout.errors import InputError, Problem, UnitError
from flangelayout.provenance import Family
from flangelayout.survey import Assumptions, Kind, Reading, SurveyInput
from flangelayout.survey.kinds import KINDS, Span
from flangelayout.units import Unit, parse_length

_Command = TypeVar("_Command", bound=Callable[..., Any])
_SPANNING = {
    Span.TWO_HOLES: ("LENGTH[@SPAN]", "; may be repeated"),
    Span.TO_AN_EDGE: ("LENGTH", "; may be repeated"),
    Span.POSITION: ("LENGTH", "; may be repeated"),
    Span.ONE_SIZE: ("LENGTH", ""),
}
_KINDS = tuple((kind, row) for kind, row in KINDS.items() if row.option)

_WITHIN_HELP = (
    "What a reading is good to, plus or minus, at 95 %. Unless given, common practice: 0.2 mm between edges and on "
    "holes, studs and coordinates; 0.3 mm on a bore; 0.5 mm between eyeballed centers, over studs, to bore or rim and "
    "on the outside diameter."
)
_FAMILY_HELP = f"Kind of part that alone is looked for: {', '.join(family.value for family in Family)}."
_HINTS = ("--within sets it", "--drilling-tolerance sets it for all, --family looks for one kind of part alone")


class _MeasureOptions(TypedDict):
    """The options as click hands them over; readings stand under the names of their kinds."""

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
    expect: str | None
    working: bool
    as_json: bool
    taken: dict[Kind, tuple[str, ...]]


def _reading_options(command: _Command) -> _Command:
    """Adds one option per kind of reading; what they take is kept in the context's ``meta``."""
    for kind, row in reversed(_KINDS):
        metavar, words = _SPANNING[row.span]
        command = click.option(
            f"--{row.option}",
            kind.name,
            multiple=True,
            metavar=metavar,
            expose_value=False,
            callback=_take(kind),
            help=f"{row.help}{words}.",
        )(command)
    return command


def _take(kind: Kind) -> Callable[[click.Context, click.Parameter, tuple[str, ...]], None]:
    def keep(context: click.Context, _: click.Parameter, values: tuple[str, ...]) -> None:
        context.meta.setdefault("flangelayout.taken", {})[kind] = values

    return keep


@click.command("measure")
@click.option("--holes", type=int, metavar="N", help="Holes on the circle; found from the readings if they allow it.")
@_reading_options
@click.option("--pitches", type=int, metavar="K", help="Pitches each two-hole reading spans; 1 unless given.")
@click.option("--unit", type=click.Choice([unit.value for unit in Unit]), default="mm", help="Unit of plain numbers.")
@click.option("--within", metavar="LENGTH", help=_WITHIN_HELP)
@click.option("--drilling-tolerance", metavar="LENGTH", help="What the made circle may be off, plus or minus.")
@click.option("--family", type=click.Choice([family.value for family in Family]), metavar="NAME", help=_FAMILY_HELP)
@click.option("--home-made", type=float, metavar="SHARE", help="Share of parts, 0 to 1, in no table; 0.1 unless given.")
@click.option("--set-aside", type=int, multiple=True, metavar="N", help="Leave reading N out of the fit.")
@click.option("--readings", type=click.Path(path_type=Path), metavar="FILE.csv", help="Read a file of readings.")
@click.option("--job", type=click.Path(path_type=Path), metavar="JOB.toml", help="Use the survey of a job.")
@click.option("--expect", metavar="CIRCLE", help="The other way: what to read on a circle (length or designation).")
@click.option("--working", is_flag=True, help="Show the arithmetic step by step.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document, lengths in mm.")
@click.pass_context
def measure_command(context: click.Context, **options: Unpack[_MeasureOptions]) -> None:
    """Find the bolt circle, its uncertainty and the standard behind it from caliper readings.

    A length is a plain number in --unit, or carries its own: "92 mm", "3-5/8 in". Two-hole readings
    span neighbors unless --pitches or an ending says otherwise: 169.7@2 spans two pitches, 91.8@1-2
    runs from hole 1 to hole 2.
    """
    options["taken"] = context.meta.get("flangelayout.taken", {})
    unit = Unit(options["unit"])
    if options["expect"] is not None:
        _print_expected(options, options["expect"], unit)
    else:
        _print_survey(options, unit)


def _print_survey(options: _MeasureOptions, unit: Unit) -> None:
    """Measures and prints; exits 1 if the readings contradict each other."""
    survey_input = _survey_input(options, unit)
    from flangelayout.survey.survey import measure

    survey = measure(
        survey_input.readings,
        survey_input.hole_count,
        survey_input.hole_diameter,
        survey_input.drilling_tolerance,
        set_aside=[number - 1 for number in options["set_aside"]],
        assume=survey_input.assume,
    )
    if options["as_json"]:
        import json

        from flangelayout.survey.words.report import survey_data

        click.echo(json.dumps(survey_data(survey), indent=2, ensure_ascii=False))
    else:
        from flangelayout.survey.words.wording import Hints, survey_lines

        click.echo("\n".join(survey_lines(survey, unit, Hints(*_HINTS))))
        if options["working"]:
            from flangelayout.survey.words.working import working, working_lines

            click.echo("\nWorking\n" + "\n".join(working_lines(working(survey, unit))))
    if not survey.agrees:
        click.get_current_context().exit(1)


def _survey_input(options: _MeasureOptions, unit: Unit) -> SurveyInput:
    """Everything the options, the file and the job say, with every problem in one go."""
    problems: list[Problem] = []
    within = _length(options["within"], "--within", unit, problems)
    tolerance = _length(options["drilling_tolerance"], "--drilling-tolerance", unit, problems)
    readings = [*_taken(options, unit, problems), *_from_file(options["readings"], unit, problems)]
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
    )


def _assumptions(options: _MeasureOptions, assume: Assumptions) -> Assumptions:
    """What a job assumes, with what the options say instead."""
    if options["family"] is not None:
        assume = replace(assume, family=Family(options["family"]))
    if options["home_made"] is not None:
        assume = replace(assume, home_made=options["home_made"])
    return assume


def _length(text: str | None, where: str, unit: Unit, problems: list[Problem]) -> float | None:
    """The length of an option in mm; a problem is kept and None comes back."""
    if text is None:
        return None
    try:
        return parse_length(text, unit)
    except UnitError as error:
        problems += error.placed(where)
        return None


def _taken(options: _MeasureOptions, unit: Unit, problems: list[Problem]) -> Iterator[Reading]:
    for kind, row in _KINDS:
        flag = f"--{row.option}"
        for text in options["taken"].get(kind, ()):
            length, span = text, ""
            if row.span is Span.TWO_HOLES:
                length, _, span = text.partition("@")
            value = _length(length, flag, unit, problems)
            if value is None:
                continue
            reading = Reading(kind, value, unit=_written_unit(length, unit), where=f"{flag} {text}")
            if row.span is Span.TWO_HOLES:
                yield _spanning(reading, span, options["pitches"], problems)
            else:
                yield reading


def _written_unit(text: str, unit: Unit) -> Unit:
    """Inches for a text that says so, else the unit of plain numbers."""
    if re.search(r"in|[\"″”]|''", text):
        return Unit.IN
    return Unit.MM if re.search(r"m", text) else unit


def _spanning(reading: Reading, span: str, pitches: int | None, problems: list[Problem]) -> Reading:
    match = re.fullmatch(r"\s*(\d{1,4})\s*(?:-\s*(\d{1,4})\s*)?", span)
    if not span:
        return replace(reading, pitches=KINDS[reading.kind].usual_pitches if pitches is None else pitches)
    if match is None:
        problems.append(Problem(reading.where, f'"@{span}" is no span; write @2 for two pitches or @1-3 for two holes'))
        return reading
    if match[2] is None:
        return replace(reading, pitches=int(match[1]))
    return replace(reading, from_hole=int(match[1]), to_hole=int(match[2]))


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
    if path is None:
        return SurveyInput(())
    from flangelayout.job import load_survey

    survey = load_survey(path)
    if survey is None:
        raise InputError(Problem("--job", f"{path} has no [survey]; add one, or give the readings as options"))
    return survey


def _print_expected(options: _MeasureOptions, circle: str, unit: Unit) -> None:
    """What a caliper should read on a circle of a diameter or a designation."""
    from flangelayout.survey import expected_readings

    diameter, holes, sizes = _circle(circle, options["holes"], unit)
    problems: list[Problem] = []
    for kind, row in _KINDS:
        for text in options["taken"].get(kind, ()) if row.span is Span.ONE_SIZE else ():
            sizes[kind] = _length(text, f"--{row.option}", unit, problems)
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
        from dataclasses import asdict

        click.echo(json.dumps(asdict(table), indent=2))
        return
    from flangelayout.survey.words.wording import expected_lines

    click.echo("\n".join(expected_lines(table, unit)))


def _circle(circle: str, holes: int | None, unit: Unit) -> tuple[float, int, dict[Kind, float | None]]:
    """Diameter, hole count and published sizes of what stands after --expect."""
    try:
        diameter = parse_length(circle, unit)
    except UnitError:
        from flangelayout.standards import find

        row = find(circle, "--expect")
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
