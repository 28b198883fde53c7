"""What the command line says in its own words: the option to use, the command to type."""

from flangelayout.english.sentences import Door
from flangelayout.problems.cures import Cure
from flangelayout.problems.output import OutputProblem

CLI = Door(
    cures={
        Cure.RENAME_OR_ELSEWHERE_OR_OVERWRITE: "rename it, choose another folder with --into, or use --force",
        Cure.REVISE_OR_OVERWRITE: (
            "write another revision or another number into its [job], or replace what was drawn: --force"
        ),
        Cure.SEE_KEYS: "flangelayout keys {table} lists them",
        Cure.SEE_TABLES: "flangelayout keys lists the tables of a job file",
        Cure.MEASURE_PRINTER_FIRST: 'measure it first: flangelayout printer "{name}"',
        Cure.MEASURE_PRINTER_AGAIN: 'measure the printer again: flangelayout printer "{name}"',
    },
    kinds={
        OutputProblem.PREVIEW_NEEDS: (
            "--preview needs {missing:and}, which this installation does not have; "
            'install it with: pip install "flangelayout[preview]"'
        ),
    },
)
