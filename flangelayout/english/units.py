"""Lengths and angles that cannot be read."""

from flangelayout.problems.units import UnitProblem

_LENGTH = 'write for example "22 mm", "7/8 in" or "2-3/8 in"'
_ANGLE = 'write degrees, for example "22.5 deg"'

SENTENCES = {
    UnitProblem.UNKNOWN_UNIT: '"{written}" has no unit this program knows ("{unit}"); use mm, cm, m or in',
    UnitProblem.NOT_DEGREES: '"{written}" is not in degrees ("{unit}"); write for example "22.5 deg"',
    UnitProblem.NO_LENGTH: f'"{{written}}" is not a length; {_LENGTH}',
    UnitProblem.NO_ANGLE: f'"{{written}}" is not an angle; {_ANGLE}',
    UnitProblem.LENGTH_BY_ZERO: f'"{{written}}" divides by zero; {_LENGTH}',
    UnitProblem.ANGLE_BY_ZERO: f'"{{written}}" divides by zero; {_ANGLE}',
    UnitProblem.COMMA_OF_TWO_MEANINGS: "its comma can mean {pointed} or {joined}; write the one you mean",
    UnitProblem.THOUSANDS: '"{written}" has a sign for thousands; write it without, as in {plain}',
    UnitProblem.SEVERAL_NUMBERS: '"{written}" is more than one number; write one',
    UnitProblem.BEYOND_FLOATS: "a whole number past 1e308 is not a finite number this program can hold",
    UnitProblem.NOT_FINITE: "{written} is not a finite number",
    UnitProblem.BEYOND_LENGTHS: '"{written}" is not a length this program can hold',
}
