"""``flangelayout exercise``."""

from pathlib import Path

import click

from flangelayout._version import __version__
from flangelayout.drawing.papers import PAPER_NAMES
from flangelayout.files.store import FileStore

_LEVELS = (1, 2, 3)
_MOST = 60


@click.command("exercise")
@click.option("--seed", type=int, default=1, show_default=True, help="Another number, other flanges.")
@click.option("--count", type=click.IntRange(1, _MOST), default=6, show_default=True, help="How many flanges.")
@click.option(
    "--level",
    type=click.IntRange(_LEVELS[0], _LEVELS[-1]),
    default=1,
    show_default=True,
    help="1: nothing wrong, mm. 2: gaps, one reading wrong, mm. 3: inches read with a rule.",
)
@click.option("--paper", type=click.Choice(PAPER_NAMES, case_sensitive=False), default="A4", show_default=True)
@click.option("--into", metavar="DIR", help="Folder for the files; this one unless told.")
@click.option("--force", is_flag=True, help="Overwrite files that are not as this program wrote them.")
def exercise_command(*, seed: int, count: int, level: int, paper: str, into: str | None, force: bool) -> int:
    """Make a sheet of invented flanges to find from their readings, and the key with the working.

    The same seed gives the same sheet.

    \b
    flangelayout exercise --seed 7 --count 8 --level 2
    """  # noqa: D301 - click wants the backspace itself
    from flangelayout.drawing.model import Stamp
    from flangelayout.lessons import exercises
    from flangelayout.views.reports.exercise import ExerciseSet, exercise_sheets, key_sheets
    from flangelayout.writers.formats import PageFormat, page_files

    given = ExerciseSet(f"set {seed}, level {level}", exercises(seed, count, level))
    lead = f"exercise_seed-{seed}_level-{level}_{count}_{paper}"
    stamp = Stamp("exercise", "", "", "", __version__, given.name)
    files = dict(page_files(lead, exercise_sheets(given, paper, stamp), PageFormat.PDF))
    files |= page_files(f"{lead}_key", key_sheets(given, paper, stamp), PageFormat.PDF)
    store = FileStore(Path(into) if into else Path())
    for file, outcome in store.write(files, force).items():
        click.echo(f"{outcome.value} {store.folder / file}")
    return 0
