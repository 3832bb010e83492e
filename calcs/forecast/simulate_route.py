"""Pieces to process at each operation, drawn: upstream from the good pieces wanted, through the yields.

Rows are operations, columns are draws. Everything is float32: figures of hours, of which four decimals count.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from calcs.forecast.even_draws import Pool, beta_at, code_of, even_normals
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

    `rows` is where each part's operations lie among the rows; `pieces` is a column (rows, 1). `codes` say where each
    operation reads its draws, `part_codes` where each part does.
    """

    parts: tuple[OpenPart, ...]
    operations: tuple[OpenOperation, ...]
    rows: tuple[slice, ...]
    pieces: Singles
    codes: list[int]
    part_codes: list[int]


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
        codes=[code_of(part.number, place) for part in parts for place in range(len(part.operations))],
        part_codes=[code_of(part.number) for part in parts],
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
        of_kind, of_operation = even_normals(rng, draws), even_normals(rng, draws)
        drawn.append(
            KindYields(
                beta_at(one.a, one.b, of_kind).astype(np.float32),
                beta_at(any_other.a, any_other.b, of_operation).astype(np.float32),
            )
        )
    return drawn


def draw_yields(block: Block, kinds: Mapping[str, KindYields], shop: ShopYield, normals: Pool) -> Singles:
    """Return a yield for every operation and draw: its own where its pieces matter, its kind's otherwise.

    Operations of one kind where nothing was counted share a pool of draws, each shifted by a number of places of its
    own: as good as draws of their own, and far quicker than so many Beta figures.
    """
    yields = normals.rows(block.codes)
    draws = yields.shape[1]
    for row, operation in enumerate(block.operations):
        belief = shop.of_operation(operation)
        if belief.sharp:
            yields[row] = belief.mean
        elif operation.good + operation.scrap:
            yields[row] = beta_at(belief.a, belief.b, yields[row])
        elif operation.pieces >= OWN_YIELD_FROM_PIECES:
            pool, shift = kinds[operation.kind].operation, block.codes[row] % draws
            yields[row, shift:], yields[row, :shift] = pool[: draws - shift], pool[draws - shift :]
        else:
            yields[row] = kinds[operation.kind].kind
    return np.maximum(yields, np.float32(LOWEST_YIELD), out=yields)


def draw_remakes(block: Block, yields: Singles, losses: Pool) -> Singles:
    """Return the pieces to process beyond those needed if nothing is lost (rows, draws); uses up `yields`.

    The yields say how many pieces a part is expected to lose; how many it does lose is that number rounded up
    or down by chance, so that a part of one piece is mostly lost not at all and sometimes whole.
    """
    chances = losses.rows(block.part_codes)
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
