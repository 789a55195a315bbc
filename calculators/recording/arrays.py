"""The kinds of arrays that pass between the modules."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.floating[Any]]
"""Always of 64 bits; numpy's own types of functions say no more than this."""

Complexes = NDArray[np.complexfloating[Any, Any]]
Counts = NDArray[np.int64]
Flags = NDArray[np.bool_]
Bytes = NDArray[np.uint8]
Array = NDArray[Any]

Signal = NDArray[np.float64]
"""Shape (channels, frames); 1.0 is full scale."""
