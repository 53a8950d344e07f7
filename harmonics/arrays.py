"""Names for the arrays that everything here passes on: one module knows what numpy calls them."""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
"""Numbers: times as POSIX seconds, heights, speeds, angles."""
Flags = NDArray[np.bool_]
Ints = NDArray[np.int64]
Lines = NDArray[np.int64]
"""Line numbers of a text."""
Indices = NDArray[np.intp]
ComplexArray = NDArray[np.complex128]
