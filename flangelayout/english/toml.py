"""Lines of a job file that cannot be read at all."""

from flangelayout.problems.toml import TomlProblem

SENTENCES = {
    TomlProblem.LINE_UNREADABLE: "{quote} cannot be read",
    TomlProblem.TABLE_TWICE: (
        "is there already in line {first}; put the keys of both together, or begin each with [[ ]] where there may be "
        "several"
    ),
    TomlProblem.KEY_TWICE: "is there already in line {first}; leave one of them out",
    TomlProblem.NESTED_TOO_DEEPLY: "is nested too deeply for a job file",
    TomlProblem.NUMBER_WITHOUT_END: "holds a number of thousands of digits; correct it",
}
