"""The settings of a plate as tables: what ``draw`` writes as files and ``machine`` shows."""

from collections.abc import Callable, Iterator
from typing import assert_never

from flangelayout.drawing.model import TextTable
from flangelayout.flange import Flange, Hole
from flangelayout.flange.cutting import DrillingOptions, MachineFile
from flangelayout.flange.turning import PlateFace
from flangelayout.machine.dividing import dividing_table
from flangelayout.machine.readout import readout_table
from flangelayout.machine.rotary import rotary_table
from flangelayout.machine.sides import worked_sides
from flangelayout.machine.start import with_start
from flangelayout.standards.shop import DividingHead


def setting_tables(
    flange: Flange,
    kind: MachineFile,
    head: DividingHead,
    table_ratio: int,
    drilling: DrillingOptions,
    made: Callable[[Hole], str],
) -> Iterator[tuple[str, TextTable]]:
    """The tables of one kind, each with what its file is called: one for the plate, or one for each bolt circle.

    Args:
        flange: What is drilled.
        kind: What for; nothing comes of what is no table.
        head: The dividing head.
        table_ratio: Turns of the rotary table's handwheel for one of the table.
        drilling: Unit of lengths, and where X and Y are zero.
        made: What is made at a hole, in words.
    """
    unit = drilling.unit
    match kind:
        case MachineFile.READOUT:
            place = drilling.zero.value.replace(" ", "-")
            for side in worked_sides(flange):
                name = f"readout_{place}_{unit.value}{'_back' if side is PlateFace.BACK else ''}"
                yield name, readout_table(flange, drilling.zero, unit, made, side)
        case MachineFile.DIVIDING:
            for group, circle in enumerate(flange.bolt_circles):
                table = dividing_table(circle, head, unit, circle.drilling.made_from)
                yield _named("dividing-head", flange, group), with_start(table, flange, group)
        case MachineFile.ROTARY:
            for group, circle in enumerate(flange.bolt_circles):
                yield (
                    _named("rotary-table", flange, group),
                    with_start(rotary_table(circle, table_ratio, circle.drilling.made_from), flange, group),
                )
        case MachineFile.PROGRAM | MachineFile.PAGE:
            return
        case _:
            assert_never(kind)


def _named(kind: str, flange: Flange, group: int) -> str:
    letter = flange.group_letter(group)
    return f"{kind}_{letter}" if letter else kind
