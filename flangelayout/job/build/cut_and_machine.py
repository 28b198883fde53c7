"""From the keys of [cut] and [machine] to the choices of how a flange is cut and drilled."""

from flangelayout.drawing.layers import Layer
from flangelayout.errors import Problem
from flangelayout.flange import Flange
from flangelayout.flange.cutting import CutOptions, DrillingOptions, MachineFile, SmallestHole
from flangelayout.job.build.hole_kinds import hole_tables
from flangelayout.job.job import CutSettings, MachineSettings
from flangelayout.job.schema.job_file import CutTable, JobFile, MachineTable
from flangelayout.problems.job import JobProblem
from flangelayout.standards.shop import DividingHead, IndexPlate, dividing_heads, smallest_hole
from flangelayout.units import Unit

_OWN_LIMIT = "stated on this job"

_LAYERS = {
    "holes": Layer.CUT_HOLES,
    "bore": Layer.CUT_BORE,
    "outline": Layer.CUT_OUTLINE,
    "marks": Layer.CUT_MARKS,
}


def cut_settings(written: JobFile, unit: Unit, problems: list[Problem]) -> CutSettings:
    """How cut files are written and what is asked of them."""
    cut = written.cut
    layers = tuple((_LAYERS[part], name) for part, name in cut.layers if name)
    colors = tuple((_LAYERS[part], color) for part, color in cut.colors if color)
    if cut.lead_out and not cut.lead_in:
        problems.append(Problem("cut.lead_out", JobProblem.LEAD_OUT_ALONE))
    return CutSettings(
        unit=Unit(cut.units) if cut.units else unit,
        layer_names=layers,
        colors=colors,
        dxf_version=cut.dxf_version,
        options=CutOptions(
            process=cut.process,
            smallest=_smallest(cut),
            small_holes=cut.small_holes,
            undersize=cut.undersize,
            cuts=tuple((key, table.cut) for key, table in hole_tables(written) if table.cut),
            kerf=cut.kerf,
            lead_in=cut.lead_in,
            lead_out=cut.lead_out,
            lead_shape=cut.lead_shape,
            overcut=cut.overcut,
            tabs=cut.tabs,
            tab_width=cut.tab_width,
            marks=tuple(dict.fromkeys(cut.marks)),
            mark_height=cut.mark_height,
        ),
    )


def machine_settings(written: JobFile, flange: Flange, unit: Unit, problems: list[Problem]) -> MachineSettings:
    """What is written for drilling machines."""
    machine = written.machine
    if machine.safe_height <= machine.clearance:
        problems.append(Problem("machine.safe_height", JobProblem.SAFE_HEIGHT_TOO_LOW))
    needs_depth = MachineFile.PROGRAM in machine.files and machine.depth is None and flange.thickness is None
    if needs_depth:
        problems.append(Problem("machine.depth", JobProblem.DEPTH_MISSING))
    return MachineSettings(
        files=tuple(dict.fromkeys(machine.files)),
        head=_head(machine, problems),
        table_ratio=machine.table_ratio,
        drilling=DrillingOptions(
            unit=Unit(machine.units) if machine.units else unit,
            zero=machine.zero,
            safe_height=machine.safe_height,
            clearance=machine.clearance,
            depth=machine.depth,
            peck=machine.peck,
            feed=machine.feed,
            speed=machine.speed,
        ),
    )


def _smallest(cut: CutTable) -> SmallestHole | None:
    """The job's own limits, each in the place of the process's published one."""
    published = smallest_hole(cut.process) if cut.process else None
    per_thickness, at_least = cut.smallest_hole_per_thickness, cut.smallest_hole
    if per_thickness is None and at_least is None:
        return published
    if published is None:
        return SmallestHole(per_thickness or 0.0, at_least or 0.0, _OWN_LIMIT)
    return SmallestHole(
        published.per_thickness if per_thickness is None else per_thickness,
        published.at_least if at_least is None else at_least,
        _OWN_LIMIT,
    )


def _head(machine: MachineTable, problems: list[Problem]) -> DividingHead:
    """The head of that name, with the job's own ratio and plates where it gives them."""
    heads = {head.name: head for head in dividing_heads()}
    usual = next(iter(heads.values()))
    if machine.plates:
        plates = tuple(IndexPlate(f"plate {number}", tuple(row)) for number, row in enumerate(machine.plates, 1))
        return DividingHead(machine.head or "own plates", machine.ratio or usual.ratio, plates)
    head = heads.get(machine.head) if machine.head else usual
    if head is None:
        unknown = JobProblem.NO_SUCH_HEAD
        problems.append(Problem("machine.head", unknown, written=str(machine.head), choices=tuple(heads)))
        head = usual
    return DividingHead(head.name, machine.ratio or head.ratio, head.plates)
