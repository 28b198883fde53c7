"""Arrays by what they hold. Only what is read for types imports this: numpy is loaded where it works."""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

FloatArray: TypeAlias = NDArray[np.float64]
IntArray: TypeAlias = NDArray[np.int64]
BoolArray: TypeAlias = NDArray[np.bool_]
ComplexArray: TypeAlias = NDArray[np.complex128]
