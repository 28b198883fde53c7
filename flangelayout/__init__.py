"""From caliper readings, a standard's designation or plain numbers to steel whose holes meet the mate.

The names below are the Python interface; each is loaded when it is first used, so that a command
which needs no drawing library does not wait for one.
"""

from typing import TYPE_CHECKING

from flangelayout._version import __version__

if TYPE_CHECKING:
    from flangelayout.flange import BoltCircle as BoltCircle
    from flangelayout.flange import Flange as Flange
    from flangelayout.job import Job as Job
    from flangelayout.job import load_job as load_job
    from flangelayout.packet.job import build_packet as build_packet
    from flangelayout.survey import measure as measure

_HOMES = {
    "BoltCircle": "flangelayout.flange",
    "Flange": "flangelayout.flange",
    "Job": "flangelayout.job",
    "load_job": "flangelayout.job",
    "build_packet": "flangelayout.packet.job",
    "measure": "flangelayout.survey",
}
__all__ = ["BoltCircle", "Flange", "Job", "__version__", "build_packet", "load_job", "measure"]


def __getattr__(name: str) -> object:
    """The public name, from the module that holds it."""
    if name in _HOMES:
        from importlib import import_module

        return getattr(import_module(_HOMES[name]), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
