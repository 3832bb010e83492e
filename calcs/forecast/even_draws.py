"""Draws that leave little to chance, and that stay what they are when the log grows by a little.

Two runs of dice would put dates weeks apart that the log puts on one day. So what moves the whole build is drawn once
in each of as many equal slices of its chances (stratified sampling, in several dimensions the Latin hypercube:
M. D. McKay, R. J. Beckman and W. J. Conover 1979, Technometrics 21, 239-245; from memory), and a figure is always the
point of its distribution at a chance that was drawn before the figure was known (inversion; common random numbers):
one more entry moves the point, and nothing else. Draws by rejection, as of a Beta distribution, would take another
number of dice and stir up all that comes after.
"""

from __future__ import annotations

import zlib
from functools import lru_cache
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]
Singles: TypeAlias = NDArray[np.float32]


def even_chances(rng: np.random.Generator, draws: int) -> Floats:
    """Return so many chances between 0 and 1 in random order, one out of each equal slice.

    >>> sorted((even_chances(np.random.default_rng(1), 5) * 5).astype(int).tolist())
    [0, 1, 2, 3, 4]
    """
    return np.asarray((rng.permutation(draws) + rng.random(draws)) / draws)


def even_normals(rng: np.random.Generator, draws: int) -> Floats:
    """Return so many standard normal draws, at even chances."""
    from scipy.special import ndtri

    return np.asarray(ndtri(even_chances(rng, draws)))


def beta_at(a: float, b: float, normals: NDArray[np.floating]) -> Floats:
    """Return the points of a Beta distribution that lie where these standard normal draws lie in theirs.

    Read from a table, which is quicker than drawing: the points follow the normal ones smoothly, to both ends.

    >>> beta_at(9.0, 1.0, np.array([-1.2816, 0.0, 1.2816])).round(3).tolist()
    [0.774, 0.926, 0.988]
    """
    return np.asarray(np.interp(normals, _NORMALS, _beta_table(a, b)))


_NORMALS = np.linspace(-5, 5, 81)


@lru_cache(maxsize=4096)
def _beta_table(a: float, b: float) -> Floats:
    from scipy.special import betaincinv, ndtr

    return np.asarray(betaincinv(a, b, ndtr(_NORMALS)))


class Pool:
    """Many draws of one sort, from which every row reads at a place of its own.

    As good as fresh draws, far quicker, and the same for one operation whatever becomes of the others.
    """

    LENGTH = 1 << 17

    def __init__(self, draws: Singles) -> None:
        """Take `LENGTH` draws and as many more as one row has."""
        self.draws = draws
        self.row = len(draws) - self.LENGTH

    def rows(self, codes: list[int]) -> Singles:
        """Return a row of draws for each code, to be used up."""
        drawn = np.empty((len(codes), self.row), dtype=np.float32)
        for row, code in zip(drawn, codes, strict=True):
            start = code % self.LENGTH
            row[:] = self.draws[start : start + self.row]
        return drawn


def code_of(*names: object) -> int:
    """Return a number that goes with the names, the same on every machine.

    >>> code_of("101", 0) == code_of("101", 0) != code_of("101", 1)
    True
    """
    return zlib.crc32("/".join(str(name) for name in names).encode())
