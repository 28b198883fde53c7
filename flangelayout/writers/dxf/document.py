"""An empty DXF document set up right, its layers, and its bytes: what the cut file and the sheet share."""

from collections.abc import Callable, Iterable
from functools import lru_cache
from io import BytesIO
from itertools import groupby
from typing import TYPE_CHECKING

from flangelayout.drawing.choices import DxfVersion
from flangelayout.drawing.layers import Layer, Pen
from flangelayout.drawing.model import Stamp
from flangelayout.geometry.shapes import Box, Point
from flangelayout.units import Unit
from flangelayout.writers.dxf.fixed import use_fixed_parts, write_out_header, writer_to
from flangelayout.writers.dxf.options import DxfOptions, checked_layer_name
from flangelayout.writers.dxf.shapes import FilePlacing
from flangelayout.writers.dxf.text import comment_string
from flangelayout.writers.placing import heading, identity_lines

if TYPE_CHECKING:
    from ezdxf.document import Drawing as DxfDocument

_INSUNITS = {Unit.IN: 1, Unit.MM: 4}
_METRIC = {Unit.IN: 0, Unit.MM: 1}
_FIXED_GUID = "{00000000-0000-0000-0000-000000000000}"
_FIXED_DAY = 2451544.5
"""Julian date of 2000-01-01: the true date of the job stands in the identity, not in the clock's fields."""

_CLOCK_FIELDS = ("$TDCREATE", "$TDUCREATE", "$TDUPDATE", "$TDUUPDATE")
_AT_ONCE = 1_000
"""Pieces of a file's text that are encoded at once."""


def new_document(options: DxfOptions) -> "DxfDocument":
    """A document in the units asked for, with layer "0" only."""
    from ezdxf.document import Drawing as DxfDocument

    document = DxfDocument.new(options.version.value)
    if options.version is not DxfVersion.R12:
        use_fixed_parts(document)
    document.header["$INSUNITS"] = _INSUNITS[options.unit]
    document.header["$MEASUREMENT"] = _METRIC[options.unit]
    document.layers.remove("Defpoints")
    return document


def add_layers(
    document: "DxfDocument",
    layers: Iterable[Layer],
    options: DxfOptions,
    pen_of: Callable[[Layer], Pen] = lambda layer: layer.pen,
) -> dict[Layer, str]:
    """Create the layers met, each once, with color, line type and width, and return their names."""
    names: dict[Layer, str] = {}
    for layer, _ in groupby(layers):
        if layer in names:
            continue
        pen, name = pen_of(layer), checked_layer_name(layer, options)
        names[layer] = name
        _add_line_type(document, pen)
        if name not in document.layers:
            document.layers.add(
                name, color=options.color(layer), linetype=pen.line_type, lineweight=nearest_lineweight(pen)
            )
    return names


@lru_cache(maxsize=64)
def nearest_lineweight(pen: Pen) -> int:
    """Line width in hundredths of a mm, from the steps the DXF reference lists for group 370."""
    from ezdxf.lldxf.const import VALID_DXF_LINEWEIGHTS

    wanted = round(pen.width_paper * 100)
    return int(min(VALID_DXF_LINEWEIGHTS, key=lambda step: (abs(step - wanted), step)))


def set_extents(document: "DxfDocument", box: Box, placing: FilePlacing) -> None:
    """Tell readers how far the model reaches and let them open on all of it."""
    low = placing.point(Point(box.left, box.bottom))
    high = placing.point(Point(box.right, box.top))
    space = document.modelspace()
    space.reset_extents((*low, 0.0), (*high, 0.0))
    space.reset_limits(low, high)
    height = placing.length(max(box.height, box.width / 1.5, 1.0) * 1.1)
    document.set_modelspace_vport(height, placing.point(box.center))


def finished(document: "DxfDocument", stamp: Stamp, options: DxfOptions) -> bytes:
    """The bytes of a document, led by comments with the identity and free of clock and chance.

    ezdxf puts the time and random GUIDs into each file unless a switch of the whole process is set,
    which two threads could not do; so its update runs, and those fields are set again before export.
    """
    lines = (*identity_lines(stamp), f"units: {options.unit.value}")
    if options.version is DxfVersion.R2010:
        for line in lines[1:]:
            name, _, value = line.partition(": ")
            document.header.custom_vars.append(name, comment_string(value, options.version))
        document.header.custom_vars.append("heading", comment_string(heading(stamp), options.version))
    document.commit_pending_changes()
    document.update_all()
    _forget_the_clock(document)
    if options.version is not DxfVersion.R12:
        write_out_header(document)
    pieces = [f"999\n{comment_string(line, options.version)}\n" for line in lines]
    handles = options.version is not DxfVersion.R12 or bool(document.header.get("$HANDLING", 0))
    document.export_sections(writer_to(pieces, document.dxfversion, handles=handles))
    batches = ("".join(pieces[first : first + _AT_ONCE]) for first in range(0, len(pieces), _AT_ONCE))
    out = BytesIO()
    out.writelines(map(document.encode, batches))
    return out.getvalue()


def _forget_the_clock(document: "DxfDocument") -> None:
    for name in _CLOCK_FIELDS:
        document.header[name] = _FIXED_DAY
    document.header["$FINGERPRINTGUID"] = _FIXED_GUID
    document.header["$VERSIONGUID"] = _FIXED_GUID
    notes = document.ezdxf_metadata()
    notes.discard("CREATED_BY_EZDXF")
    notes.discard("WRITTEN_BY_EZDXF")


def _add_line_type(document: "DxfDocument", pen: Pen) -> None:
    """Define the line type of a pen in printed mm: dashes are positive, gaps negative."""
    if not pen.dashes_paper or pen.line_type in document.linetypes:
        return
    signed = [length if index % 2 == 0 else -length for index, length in enumerate(pen.dashes_paper)]
    document.linetypes.add(pen.line_type, [sum(pen.dashes_paper), *signed], description=pen.line_type.lower())
