"""Pieces to process at each operation, drawn: upstream from the good pieces wanted, through the yields.

Rows are operations, columns are draws. Everything is float32: figures of hours, of which four decimals count.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from calcs.worklist import OpenOperation, OpenPart
from calcs.yields import ShopYield

Singles: TypeAlias = NDArray[np.float32]
Places: TypeAlias = NDArray[np.intp]

LOWEST_YIELD = 0.05
"""A yield below one in twenty would be given up and done another way."""
OWN_YIELD_FROM_PIECES = 4
"""An operation with this many pieces ahead has a yield of its own; for fewer the kind's yield is near enough."""


@dataclass(frozen=True)
class Block:
    """Some parts and all their operations: the rows of one round of drawing.

    `first_rows` is where each part begins among the rows; `pieces` and `standing` are columns (rows, 1).
    """

    parts: tuple[OpenPart, ...]
    operations: tuple[OpenOperation, ...]
    first_rows: Places
    lengths: Places
    pieces: Singles
    standing: Singles


def blocks_of(parts: Sequence[OpenPart], most_rows: int) -> list[Block]:
    """Return the parts in order, gathered into blocks of about `most_rows` operations."""
    blocks: list[Block] = []
    gathered: list[OpenPart] = []
    rows = 0
    for part in parts:
        if gathered and rows + len(part.operations) > most_rows:
            blocks.append(_block(gathered))
            gathered, rows = [], 0
        gathered.append(part)
        rows += len(part.operations)
    return [*blocks, _block(gathered)] if gathered else blocks


def _block(parts: Sequence[OpenPart]) -> Block:
    operations = tuple(operation for part in parts for operation in part.operations)
    lengths = np.array([len(part.operations) for part in parts])
    return Block(
        parts=tuple(parts),
        operations=operations,
        first_rows=np.concatenate([[0], np.cumsum(lengths)[:-1]]).astype(np.intp),
        lengths=lengths,
        pieces=column([operation.pieces for operation in operations]),
        standing=column([operation.standing for operation in operations]),
    )


def column(values: Sequence[float]) -> Singles:
    """Return the values as a column that spreads over the draws."""
    return np.array(values, dtype=np.float32).reshape(-1, 1)


def draw_yields(
    block: Block, kind_yields: Mapping[str, Singles], shop: ShopYield, rng: np.random.Generator, draws: int
) -> Singles:
    """Return a yield for every operation and draw: its own where its pieces matter, its kind's otherwise."""
    yields = np.empty((len(block.operations), draws), dtype=np.float32)
    for row, operation in enumerate(block.operations):
        counted = operation.good + operation.scrap
        if counted or operation.pieces >= OWN_YIELD_FROM_PIECES:
            belief = shop.for_operation(operation.kind).updated(operation.good, operation.scrap)
            yields[row] = rng.beta(belief.a, belief.b, draws)
        else:
            yields[row] = kind_yields[operation.kind]
    return np.maximum(yields, np.float32(LOWEST_YIELD), out=yields)


def draw_remakes(block: Block, yields: Singles, rng: np.random.Generator) -> Singles:
    """Return the pieces to process beyond those needed if nothing is lost (rows, draws).

    The yields say how many pieces a part is expected to lose; how many it does lose is that number rounded up
    or down by chance, so that a part of one piece is mostly lost not at all and sometimes whole.
    """
    extra = _expected_extra(block, yields)
    expected = np.maximum.reduceat(extra, block.first_rows, axis=0)
    drawn = np.floor(expected + rng.random(expected.shape, dtype=np.float32))
    scale = np.divide(drawn, expected, out=np.zeros_like(drawn), where=expected > 0)
    extra *= np.repeat(scale, block.lengths, axis=0)
    return extra


def _expected_extra(block: Block, yields: Singles) -> Singles:
    """Carry the good pieces wanted back through the route; pieces in work spare the operations before them."""
    extra = np.empty_like(yields)
    last_rows = block.first_rows + block.lengths - 1
    out = np.repeat(column([part.goal for part in block.parts]), yields.shape[1], axis=1)
    for back in range(int(block.lengths.max(initial=0))):
        these = np.flatnonzero(block.lengths > back)
        rows = last_rows[these] - back
        tried = out[these] / yields[rows]
        extra[rows] = tried - block.pieces[rows]
        out[these] = np.maximum(tried - block.standing[rows], 0)
    # Rounding to single precision may leave a hair below zero.
    return np.maximum(extra, 0, out=extra)
