"""The command line: thin commands, each loaded only when it is called."""

import contextlib
import gc
import io
import os
import sys
from collections.abc import Iterable, Sequence
from importlib import import_module
from pathlib import Path

import click

from flangelayout._version import __version__
from flangelayout.cli.telling import FAULT, lines_told, refusal_line, tell_problems
from flangelayout.errors import FlangeLayoutError, OutputError, SurveyError, fault_line

_COLLECT_AFTER = 1_000_000
"""New objects between two collections: a command soon ends, and looking for cycles all along costs it a seventh."""

_TOLD_LIBRARIES = {"OPENBLAS_NUM_THREADS": "1", "PYDANTIC_DISABLE_PLUGINS": "__all__"}
"""Told before they are loaded: on a busy machine numpy's threads over small matrices wait a minute for each other, and
no other package's plugin is looked for, nor lets itself into the reading of jobs."""

_COMMANDS = {
    "draw": ("draw", "Make a job's packet: cut files, template, sheet, hole list."),
    "new": ("new", "Copy a commented starter job to edit."),
    "set": ("parts.set", "Write keys into a job file that is there."),
    "derive": ("parts.derive", "Make the job of a gasket, blind, spacer or mate of a flange."),
    "keys": ("keys", "Say what a job file may hold, with an example of each."),
    "check": ("check", "Say before cutting what will not go together."),
    "bill": ("ordering.bill", "Say what to order for one job or for many together."),
    "mate": ("mate", "Lay one flange on another: do the bolts pass?"),
    "inspect": ("parts.inspect", "Hold a finished part against its drawing."),
    "measure": ("measuring.measure", "From caliper readings to the bolt circle behind them."),
    "cards": ("measuring.cards", "Print cards to lay on a flange for photos of it."),
    "photo": ("measuring.photo", "From photos with cards on a flange to its circle."),
    "scan": ("measuring.scan", "From a scan of a gasket or rubbing to its circle."),
    "printer": ("printer", "Measure a printer, so that its templates print true."),
    "recover": ("recover", "Give the job file back that a sheet was drawn from."),
    "standards": ("standards", "Look up the drilling of published standards."),
    "chart": ("lessons.chart", "Draw chord charts for the wall and the pocket."),
    "exercise": ("lessons.exercise", "Make exercises to learn on, with their key."),
    "nest": ("nest", "Lay parts out on stock plate, rings in the drops of rings."),
    "quote": ("office.quote", "Say what jobs take, and cost by the shop's rates."),
    "traveller": ("office.traveller", "Make the page that goes with the steel, with boxes to sign."),
    "machine": ("machine", "Settings for readout, dividing head and rotary table."),
    "serve": ("serve", "Open the page: do all of it without a command line."),
}
"""Each with its module, which holds it as ``draw_command``, and its help in a line."""


class _Commands(click.Group):
    """A group whose commands are imported when called; their one-line helps stand here, to list them fast."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names in the order of the work."""
        return list(_COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of that name, imported now."""
        if cmd_name not in _COMMANDS:
            return None
        module = import_module(f"flangelayout.cli.{_COMMANDS[cmd_name][0]}")
        command: click.Command = getattr(module, f"{cmd_name}_command")
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands without importing any."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, text) for name, (_, text) in _COMMANDS.items()])

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """As click does; a file alone is drawn, a sheet gives its job back, a designation is looked up.

        Anything else is answered with a suggestion for a misspelled command.
        """
        if args[0] == "help":
            click.echo(ctx.get_help())
            ctx.exit()
        meant = args[0] if args[0] in _COMMANDS else _command_meant(args[0])
        if meant and meant != args[0]:
            return meant, self.get_command(ctx, meant), args
        try:
            return super().resolve_command(ctx, args)
        except click.UsageError as wrong:
            from difflib import get_close_matches

            if args[0].lower().endswith((".toml", ".pdf", ".csv")):
                raise click.UsageError(f"{args[0]} is not here; flangelayout draw FILE draws a job", ctx) from None
            near = get_close_matches(args[0], _COMMANDS, n=1)
            hint = f"did you mean {near[0]}?" if near else f"there are {', '.join(_COMMANDS)}"
            raise click.UsageError(f"{wrong.message.rstrip('.')}; {hint}", ctx) from None


def _command_meant(written: str) -> str:
    """What to do with a file or a designation that stands where a command should; empty for anything else."""
    if written.startswith("-"):
        return ""
    with contextlib.suppress(OSError, ValueError):
        path = Path(written)
        if path.is_file():
            return "recover" if path.suffix.lower() == ".pdf" else "draw"
    if any(character.isdigit() for character in written):
        from flangelayout.files.settings import settings_folder
        from flangelayout.standards import find
        from flangelayout.standards.own import own_tables

        with contextlib.suppress(FlangeLayoutError):
            find(written, own=own_tables(settings_folder(), Path()))
            return "standards"
    return ""


@click.group(
    cls=_Commands,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    epilog="Start with: flangelayout new, then flangelayout draw JOB.toml",
)
@click.version_option(__version__, prog_name="flangelayout")
def commands() -> None:
    """From caliper readings, a standard or plain numbers to bolted flanges that fit the first time."""


def main(arguments: Sequence[str] | None = None) -> None:
    """Run a command; exit 0 done, 1 the job or survey is not sound, 2 wrong usage or bad input, 3 a fault in here.

    What a terminal's encoding cannot show is printed as an escape, never as a crash.
    """
    gc.set_threshold(_COLLECT_AFTER)
    for name, value in _TOLD_LIBRARIES.items():
        os.environ.setdefault(name, value)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")
    code = run(arguments)
    try:
        sys.stdout.flush()
    except OSError as problem:
        code = _unheard(problem)
    gc.freeze()  # what is there goes with the process: looking through it for cycles at the end costs a tenth
    sys.exit(code)


def run(arguments: Sequence[str] | None = None) -> int:
    """Run a command and return its exit code; errors are one line each on standard error."""
    try:
        code = commands.main(arguments, prog_name="flangelayout", standalone_mode=False)
    except click.ClickException as wrong:
        wrong.show()
        return 2
    except (click.Abort, KeyboardInterrupt):
        click.echo("stopped; whatever was written is whole", err=True)
        return 130
    except FlangeLayoutError as wrong:
        tell_problems(_lines_of(wrong))
        return 1 if isinstance(wrong, SurveyError) else 2
    except OSError as problem:
        return _unheard(problem)
    except Exception as fault:
        given = " ".join(sys.argv[1:] if arguments is None else arguments)
        tell_problems([f"{given}: {fault_line(fault)}"])
        return FAULT
    return code if isinstance(code, int) else 0


def _lines_of(wrong: FlangeLayoutError) -> Iterable[str]:
    if isinstance(wrong, OutputError):
        from flangelayout.files.store import NotOverwrittenError

        if isinstance(wrong, NotOverwrittenError):
            return map(refusal_line, wrong.refusals)
    return lines_told(wrong)


def _unheard(problem: OSError) -> int:
    """Say that what was to be printed cannot be; what was to be written in files is there, or was told."""
    if problem.filename is not None:
        tell_problems([f"{problem.filename}: cannot be used ({problem.strerror or problem})"])
        return 2
    with contextlib.suppress(OSError):
        sys.stdout = open(os.devnull, "w")  # noqa: SIM115, PTH123 - nothing more can be printed, nor tried at the end
        tell_problems(
            [f"what is told cannot be printed ({problem.strerror or problem}); files that were made are whole"]
        )
    return 2
