"""Files that cannot be read, found or written."""

from flangelayout.problems.files import FileProblem, FileRole, ProgramPart

SENTENCES = {
    FileProblem.A_FOLDER: "is a folder; name a file",
    FileProblem.NO_PLAIN_FILE: "is no plain file; save {role} as one",
    FileProblem.TOO_LARGE: "has {size:#byte}; {role} has at most {most}",
    FileProblem.GROWN_TOO_LARGE: "has more than {most} bytes; {role} has at most as many",
    FileProblem.UNREADABLE: "cannot be read ({reason})",
    FileProblem.NO_FILE_NAME: "is no name that a file can have; check it",
    FileProblem.NOT_UTF_8: "is not UTF-8 text; save it as UTF-8 in the editor",
    FileProblem.CANNOT_BE_WRITTEN: "cannot be written ({reason}); choose another folder",
    FileProblem.FOREIGN: "was not written by this program",
    FileProblem.EDITED: "was changed since this program wrote it",
    FileProblem.ISSUED: "{number} rev {revision} was drawn there before from another job",
    FileProblem.PART_OF_PROGRAM_MISSING: "the {part} are missing; install flangelayout again",
    FileProblem.DEVICES_DAMAGED: "is damaged: {reason}; correct or delete it",
    FileProblem.PRINTER_NO_TABLE: "is no table",
    FileProblem.PRINTER_KEY_MISSING: "has no {key}",
    FileProblem.PRINTER_KEY_FOREIGN: "has a {key} this program did not write",
    FileProblem.PRINTER_PAPER_UNKNOWN: 'was measured on "{paper}", a paper this program does not know',
    FileProblem.PRINTER_FACTOR: "{factor:.4f} is beyond {least} to {most}, which no printer at 100 % needs",
    FileProblem.PRINTER_UNKNOWN: '"{name}" has not been measured',
    FileProblem.SCANNER_UNKNOWN: '"{name}" has not been measured; scan the page of cards with it once, bars measured',
    FileProblem.SCANNER_DAMAGED: "is no record of a scanner as this program writes it; measure the scanner again",
    FileProblem.SCANNER_BEYOND: (
        "{across:.4f} and {along:.4f} are beyond what a scanner is off; check the dots per inch and both bars"
    ),
    FileProblem.PRINTER_NAME: "a name has 1 to {most} printable characters; choose another",
    FileProblem.SHEET_TOO_LARGE: "has {size:#byte}, more than any sheet of this program ({most})",
    FileProblem.SHEET_NO_PDF: "is no PDF file; name the _sheet.pdf of a packet",
    FileProblem.SHEET_DAMAGED: "cannot be read ({reason}); it is damaged or protected",
    FileProblem.SHEET_WITHOUT_JOB: (
        "carries no job file; only layout sheets of this program do (the _sheet.pdf of a packet)"
    ),
    FileProblem.SHEET_JOB_TOO_LARGE: "carries {size:#byte}; a job file has at most {most}",
}

TERMS = {
    FileRole.JOB: "a job file",
    FileRole.SHOP: "a shop file",
    FileRole.PRINTERS: "a file of printers",
    FileRole.MEASURED: "a file of measured positions",
    FileRole.LIST: "a list",
    FileRole.OWN_PATTERNS: "a file of own patterns",
    FileRole.SHEET: "a sheet of this program",
    FileRole.PICTURE: "a picture",
    FileRole.SCANNERS: "a file of scanners",
    ProgramPart.STARTERS: "starter jobs",
    ProgramPart.SAMPLES: "samples",
}
