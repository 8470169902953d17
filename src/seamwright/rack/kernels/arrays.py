"""Kinds of arrays that the kernels take."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Bits = NDArray[np.uint64]
Ints = NDArray[np.int32]
Numbers = NDArray[np.int64]
Counts = NDArray[np.int16]
