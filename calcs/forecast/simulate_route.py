"""Pieces to process at each operation, drawn: upstream from the good pieces wanted, through the yields.

Rows are operations, columns are draws. Everything is float32: figures of hours, of which four decimals count.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from calcs.parts.remaining import OpenOperation, OpenPart
from calcs.parts.yields import ShopYield

Singles: TypeAlias = NDArray[np.float32]

LOWEST_YIELD = 0.05
"""A yield below one in twenty would be given up and done another way."""
OWN_YIELD_FROM_PIECES = 4
"""An operation with this many pieces ahead has a yield of its own; for fewer the kind's yield is near enough."""


@dataclass(frozen=True)
class Block:
    """Some parts and all their operations: the rows of one round of drawing.

    `rows` is where each part's operations lie among the rows; `pieces` is a column (rows, 1).
    """

    parts: tuple[OpenPart, ...]
    operations: tuple[OpenOperation, ...]
    rows: tuple[slice, ...]
    pieces: Singles


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
    ends = np.cumsum([len(part.operations) for part in parts]).tolist()
    return Block(
        parts=tuple(parts),
        operations=operations,
        rows=tuple(slice(end - len(part.operations), end) for part, end in zip(parts, ends, strict=True)),
        pieces=column([operation.pieces for operation in operations]),
    )


def column(values: Sequence[float]) -> Singles:
    """Return the values as a column that spreads over the draws."""
    return np.array(values, dtype=np.float32).reshape(-1, 1)


@dataclass(frozen=True)
class KindYields:
    """Draws (draws) for one kind: of its own yield, and of the yield of any one operation of the kind."""

    kind: Singles
    operation: Singles


def draw_kind_yields(kinds: Sequence[str], shop: ShopYield, rng: np.random.Generator, draws: int) -> list[KindYields]:
    """Return the draws of every kind, in order; one kind more leaves those before it as they were."""
    drawn = []
    for kind in kinds:
        one, any_other = shop.kind_belief(kind), shop.for_operation(kind)
        drawn.append(
            KindYields(
                rng.beta(one.a, one.b, draws).astype(np.float32),
                rng.beta(any_other.a, any_other.b, draws).astype(np.float32),
            )
        )
    return drawn


def draw_yields(
    block: Block, kinds: Mapping[str, KindYields], shop: ShopYield, rng: np.random.Generator, draws: int
) -> Singles:
    """Return a yield for every operation and draw: its own where its pieces matter, its kind's otherwise.

    Operations of one kind where nothing was counted share a pool of draws, each shifted by a chance number of
    places: as good as draws of their own, and far quicker than drawing so many Beta figures.
    """
    yields = np.empty((len(block.operations), draws), dtype=np.float32)
    shifts = rng.integers(draws, size=len(block.operations))
    for row, operation in enumerate(block.operations):
        if operation.never_scraps:
            yields[row] = 1
        elif operation.good + operation.scrap:
            belief = shop.of_operation(operation)
            yields[row] = rng.beta(belief.a, belief.b, draws)
        elif operation.pieces >= OWN_YIELD_FROM_PIECES:
            pool, shift = kinds[operation.kind].operation, shifts[row]
            yields[row, shift:], yields[row, :shift] = pool[: draws - shift], pool[draws - shift :]
        else:
            yields[row] = kinds[operation.kind].kind
    return np.maximum(yields, np.float32(LOWEST_YIELD), out=yields)


def draw_remakes(block: Block, yields: Singles, rng: np.random.Generator) -> Singles:
    """Return the pieces to process beyond those needed if nothing is lost (rows, draws); uses up `yields`.

    The yields say how many pieces a part is expected to lose; how many it does lose is that number rounded up
    or down by chance, so that a part of one piece is mostly lost not at all and sometimes whole.
    """
    chances = rng.random((len(block.parts), yields.shape[1]), dtype=np.float32)
    for part, rows, chance in zip(block.parts, block.rows, chances, strict=True):
        extra = yields[rows]
        _expected_extra(part, extra)
        expected = extra.max(axis=0)
        chance += expected
        drawn = np.floor(chance, out=chance)
        drawn /= np.maximum(expected, np.float32(1e-9), out=expected)
        extra *= drawn
    return yields


def again_set_up(block: Block, extra: Singles) -> Singles:
    """Return how often each operation is set up again (rows, draws) for the pieces that are made anew.

    The operations up to the loss are set up again once, since remade pieces share one set-up. Those after it see
    no more pieces than planned; half of the time the remade ones have caught up by then, and half of the time they
    come alone.
    """
    again = np.minimum(extra, np.float32(1))
    for rows in block.rows:
        lost = again[rows].max(axis=0)
        lost *= np.float32(0.5)
        again[rows] *= np.float32(0.5)
        again[rows] += lost
    return again


def _expected_extra(part: OpenPart, yields: Singles) -> None:
    """Carry the good pieces wanted back through the route; pieces in work spare the operations before them.

    `yields` (operations, draws) become the pieces tried beyond those needed if nothing is lost.
    """
    out: Singles | float = float(part.goal)
    for operation, row in zip(reversed(part.operations), yields[::-1], strict=True):
        tried = np.divide(out, row, dtype=np.float32)
        # Rounding to single precision may leave a hair below zero.
        np.maximum(np.subtract(tried, operation.pieces, out=row), 0, out=row)
        if operation.standing:
            np.maximum(np.subtract(tried, operation.standing, out=tried), 0, out=tried)
        out = tried
