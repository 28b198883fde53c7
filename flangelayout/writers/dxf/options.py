"""What a DXF file can be asked to be; loads no library."""

from collections.abc import Mapping

from msgspec import Struct, field

from flangelayout.drawing.choices import DxfVersion
from flangelayout.drawing.layers import Layer
from flangelayout.errors import OutputError
from flangelayout.problems.output import OutputProblem
from flangelayout.units import Unit
from flangelayout.writers.placing import layer_name

_FORBIDDEN = set("<>/\\\":;?*|=`,'")
_R12_NAME = set("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789$-_")
_LONGEST_NAME = 255
_LONGEST_R12_NAME = 31


class DxfOptions(Struct, frozen=True):
    """How to write a DXF file.

    Attributes:
        unit: Unit of every coordinate in model space.
        version: File version. The default is R2000 with the entities R12 has, which every importer met
            so far reads and which, unlike R12, says its units.
        layer_names: The shop's names for layers; the drawing's own where absent. Two layers may share one.
        colors: The shop's colors for layers, 1 to 255 of the DXF color index; the drawing's own where absent.
    """

    unit: Unit = Unit.MM
    version: DxfVersion = DxfVersion.R2000
    layer_names: Mapping[Layer, str] = field(default_factory=dict)
    colors: Mapping[Layer, int] = field(default_factory=dict)

    def color(self, layer: Layer) -> int:
        """The color of a layer in the file."""
        return self.colors.get(layer, layer.pen.color)


def checked_layer_name(layer: Layer, options: DxfOptions) -> str:
    """The name of a layer in the file.

    Raises:
        OutputError: If the shop's name for it is none the file version can hold.
    """
    name = layer_name(layer, options.layer_names)
    longest = _LONGEST_R12_NAME if options.version is DxfVersion.R12 else _LONGEST_NAME
    if options.version is DxfVersion.R12:
        wrong = "".join(sorted(set(name.upper()) - _R12_NAME))
    else:
        wrong = "".join(sorted({sign for sign in name if sign in _FORBIDDEN or not sign.isprintable()}))
    shown, version = name[:60], options.version.value
    if wrong:
        raise OutputError.of(OutputProblem.LAYER_SIGNS, name=shown, version=version, signs=repr(wrong))
    if not name.strip() or len(name) > longest:
        raise OutputError.of(OutputProblem.LAYER_LENGTH, name=shown, version=version, most=longest)
    return name
