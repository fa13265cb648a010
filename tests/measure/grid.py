"""The independent way: time as an array with one cell for each millisecond, counted by numpy."""

import numpy as np
import numpy.typing as npt

Grid = npt.NDArray[np.bool_]


def runs(grid: Grid) -> list[tuple[int, int]]:
    """Start and end of each stretch of True cells."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], grid, [False])).astype(np.int8)))
    return [(int(start), int(end)) for start, end in edges.reshape(-1, 2)]
