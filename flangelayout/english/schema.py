"""Keys and values of a job file that it cannot have."""

from flangelayout.problems import ProblemKind
from flangelayout.problems.schema import SchemaProblem, TomlProblem

SENTENCES: dict[ProblemKind, str] = {
    SchemaProblem.MISSING: "is missing",
    SchemaProblem.UNKNOWN_KEY: "unknown key",
    SchemaProblem.NOT_A_TABLE: "must be a table: write {header} on a line of its own and the keys below it",
    SchemaProblem.NOT_A_LIST: "must be a list in brackets",
    SchemaProblem.NOT_TABLES: "is written {header}, with two brackets, as there may be several",
    SchemaProblem.TOO_MANY: "is too long; at most {most} are possible",
    SchemaProblem.EMPTY: "is empty; write something or leave the key out",
    SchemaProblem.NEEDS_TEXT: "needs text in quotes",
    SchemaProblem.TEXT_TOO_LONG: "is too long; at most {most} characters are possible",
    SchemaProblem.NO_LAYER_NAME: "{found} is no layer name; use 1 to 31 letters, digits, - or _",
    SchemaProblem.NOT_A_FLAG: "{found} is not possible; use true or false",
    SchemaProblem.NOT_A_CHOICE: "{found} is not possible; use {choices:toml or}",
    SchemaProblem.NOT_A_NUMBER: "{found} is not a number",
    SchemaProblem.NOT_WHOLE: "{found} is not a whole number",
    SchemaProblem.BEYOND_COUNTING: "is a number beyond all counting; correct it",
    SchemaProblem.TOO_SMALL: "{found} is too small; the least is {least}",
    SchemaProblem.TOO_LARGE: "{found} is too large; the most is {most}",
    SchemaProblem.NEEDS_LENGTH: 'needs a length, such as 285 or "7/8 in"',
    SchemaProblem.OVER_20_M: "{found} is more than 20 m; check the unit",
    SchemaProblem.BELOW_LEAST_SIZE: "{found} is less than {least:g}; check the unit",
    SchemaProblem.NOT_ABOVE_ZERO: "{found} is not greater than 0",
    SchemaProblem.BELOW_ZERO: "{found} is less than 0",
    SchemaProblem.LENGTH_OUT_OF_RANGE: "{found} is not possible; use {limits:range}",
    SchemaProblem.NEEDS_MASS: "needs a mass above 0, such as 25, 25 kg or 55 lb",
    SchemaProblem.NEEDS_ANGLE: "needs an angle in degrees, such as 22.5",
    SchemaProblem.BEYOND_A_TURN: "{found} is beyond a full turn of 360 degrees",
    SchemaProblem.NOT_POSSIBLE: "{found} is not possible here",
    SchemaProblem.NOT_LEFT_OUT: (
        '"{found}" cannot be left out: a job that fails it contradicts itself; leave out another'
    ),
    TomlProblem.LINE_UNREADABLE: "{quote} cannot be read",
    TomlProblem.TABLE_TWICE: (
        "is there already in line {first}; put the keys of both together, or begin each with [[ ]] where there may be "
        "several"
    ),
    TomlProblem.KEY_TWICE: "is there already in line {first}; leave one of them out",
    TomlProblem.NESTED_TOO_DEEPLY: "is nested too deeply for a job file",
    TomlProblem.NUMBER_WITHOUT_END: "holds a number of thousands of digits; correct it",
}
