"""From caliper readings, a standard's designation or plain numbers to steel whose holes meet the mate.

The names below are the Python interface; each is loaded when it is first used, so that a command
which needs no drawing library does not wait for one.
"""

from typing import TYPE_CHECKING

from flangelayout._version import __version__

if TYPE_CHECKING:
    from flangelayout.errors import FlangeLayoutError as FlangeLayoutError
    from flangelayout.errors import GeometryError as GeometryError
    from flangelayout.errors import InputError as InputError
    from flangelayout.errors import OutputError as OutputError
    from flangelayout.errors import Problem as Problem
    from flangelayout.errors import SurveyError as SurveyError
    from flangelayout.errors import UnitError as UnitError
    from flangelayout.files.printers import with_printer as with_printer
    from flangelayout.flange import BoltCircle as BoltCircle
    from flangelayout.flange import Centerline as Centerline
    from flangelayout.flange import FigureEightOutline as FigureEightOutline
    from flangelayout.flange import Flange as Flange
    from flangelayout.flange import LozengeOutline as LozengeOutline
    from flangelayout.flange import LuggedOutline as LuggedOutline
    from flangelayout.flange import Opening as Opening
    from flangelayout.flange import OvalOutline as OvalOutline
    from flangelayout.flange import PaddleOutline as PaddleOutline
    from flangelayout.flange import PathOutline as PathOutline
    from flangelayout.flange import Placement as Placement
    from flangelayout.flange import RectangleOutline as RectangleOutline
    from flangelayout.flange import RoundOutline as RoundOutline
    from flangelayout.flange import SegmentOutline as SegmentOutline
    from flangelayout.flange import SingleHole as SingleHole
    from flangelayout.flange import SplitOutline as SplitOutline
    from flangelayout.flange import Tolerances as Tolerances
    from flangelayout.flange.pattern import HoleGrid as HoleGrid
    from flangelayout.flange.pattern import HoleRectangle as HoleRectangle
    from flangelayout.flange.pattern import HoleRings as HoleRings
    from flangelayout.job import Job as Job
    from flangelayout.job.load import job_from_text as job_from_text
    from flangelayout.job.load import load_job as load_job
    from flangelayout.job.of_flange import job_of_flange as job_of_flange
    from flangelayout.job.shop import Shop as Shop
    from flangelayout.job.shop import load_shop as load_shop
    from flangelayout.packet.job import Part as Part
    from flangelayout.packet.job import build_packet as build_packet
    from flangelayout.packet.job import draw_flange as draw_flange
    from flangelayout.standards import Pattern as Pattern
    from flangelayout.standards import find as find
    from flangelayout.survey import Kind as Kind
    from flangelayout.survey import Reading as Reading
    from flangelayout.survey import Survey as Survey
    from flangelayout.survey import measure as measure
    from flangelayout.units import Unit as Unit

__all__ = [
    "BoltCircle",
    "Centerline",
    "FigureEightOutline",
    "Flange",
    "FlangeLayoutError",
    "GeometryError",
    "HoleGrid",
    "HoleRectangle",
    "HoleRings",
    "InputError",
    "Job",
    "Kind",
    "LozengeOutline",
    "LuggedOutline",
    "Opening",
    "OutputError",
    "OvalOutline",
    "PaddleOutline",
    "Part",
    "PathOutline",
    "Pattern",
    "Placement",
    "Problem",
    "Reading",
    "RectangleOutline",
    "RoundOutline",
    "SegmentOutline",
    "Shop",
    "SingleHole",
    "SplitOutline",
    "Survey",
    "SurveyError",
    "Tolerances",
    "Unit",
    "UnitError",
    "__version__",
    "build_packet",
    "draw_flange",
    "find",
    "job_from_text",
    "job_of_flange",
    "load_job",
    "load_shop",
    "measure",
    "with_printer",
]

_HOMES = {
    "errors": tuple(name for name in __all__ if name.endswith("Error") or name == "Problem"),
    "files.printers": ("with_printer",),
    "flange.pattern": ("HoleGrid", "HoleRectangle", "HoleRings"),
    "job": ("Job",),
    "job.load": ("job_from_text", "load_job"),
    "job.of_flange": ("job_of_flange",),
    "job.shop": ("Shop", "load_shop"),
    "packet.job": ("Part", "build_packet", "draw_flange"),
    "standards": ("Pattern", "find"),
    "survey": ("Kind", "Reading", "Survey", "measure"),
    "units": ("Unit",),
}
"""The module of each name; whatever stands in none is a word of ``flange``."""


def __getattr__(name: str) -> object:
    """The public name, from the module that holds it."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    home = next((module for module, names in _HOMES.items() if name in names), "flange")
    return getattr(import_module(f"{__name__}.{home}"), name)


def __dir__() -> list[str]:
    """The public names, loaded or not, beside what every module has."""
    return sorted({*__all__, *globals()})
