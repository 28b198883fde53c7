"""What can be done, as a Python user reads it; the command line and the page put their own words over these."""

from flangelayout.problems.cures import Cure

SENTENCES: dict[Cure, str] = {
    Cure.RENAME_OR_ELSEWHERE_OR_OVERWRITE: "rename it, choose another folder, or allow it to be overwritten",
    Cure.ADD: "add it",
    Cure.ADD_PLATE: "add a [plate] table with outside_diameter",
    Cure.WRITE_FOR_EXAMPLE: "write for example {key} = {examples:toml or}",
    Cure.DID_YOU_MEAN: "did you mean {near}?",
    Cure.IT_IS_WRITTEN: "it is written {near}",
    Cure.IT_IS_WRITTEN_IN: "it is written {near}, and stands in {table}",
    Cure.USE_ONE_OF: "possible here: {names}",
    Cure.SEE_KEYS: "the reference of the job file lists the keys of {table}",
    Cure.WRITE_FOR_EXAMPLE_OR_BOLT: 'write for example {key} = {examples:toml or}, or bolt = "M20"',
    Cure.WRITE_FOR_EXAMPLE_OR_STANDARD: (
        'write for example {key} = {examples:toml or}, or name a standard, as in standard = "EN 1092-1 PN16 DN150"'
    ),
    Cure.WRITE_TABLES: "write {header} tables",
    Cure.CORRECT_ONE_OF_THEM: "correct one of them",
    Cure.CORRECT_THE_LIST: "correct the list",
    Cure.USE_TILES: 'use style = "tiles"',
    Cure.WRITE_SO: "write {cured}",
    Cure.WRITE_A_VALUE: "write a value after {cured}",
    Cure.PUT_IN_QUOTES: "put it in quotes: {cured}",
    Cure.CLOSE_QUOTES: "close the quotes: {cured}",
    Cure.PLAIN_QUOTES: "use plain quotes: {cured}",
    Cure.SINGLE_QUOTES: "a backslash needs single quotes: {cured}",
    Cure.POINT_FOR_COMMA: "write a decimal point: {cured}",
    Cure.IN_FOR_INCH_SIGN: "write in for the inch sign: {cured}",
    Cure.CLOSE_BRACKET: "close the bracket: {cured}",
    Cure.WRITE_KEY_AND_VALUE: "a line holds a [table], a key = value, or a # and a remark",
    Cure.MEASURE_PRINTER_FIRST: "measure it first",
    Cure.MEASURE_PRINTER_AGAIN: "measure the printer again",
    Cure.REVISE_OR_OVERWRITE: "write another revision or number, or allow it to be overwritten",
    Cure.SEE_TABLES: "the reference of the job file lists its tables",
    Cure.CHECK_NAME_AND_FOLDER: "check the name and the folder",
}
