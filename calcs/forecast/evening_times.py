"""What so many pieces of an operation take at the bench, drawn as the forecast draws the work ahead.

The forecast asks what is left of an operation in all; an evening asks what some of its pieces take, with the set-up
where the machine is not set up already. Shop, kinds, learning and surprises are the very draws of the forecast
(`calcs.forecast.simulate_times`), so there is one notion of how long work takes.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from calcs.forecast.even_draws import code_of
from calcs.forecast.evening import CHANCES, SHORTEST, OperationTimes, PiecesTime
from calcs.forecast.simulate import learn_of_work
from calcs.forecast.simulate_route import Block, column
from calcs.forecast.simulate_times import NOTHING_TO_BORROW, Noise, ShopDraws, draw_ratios, time_figures
from calcs.forecast.simulate_work import Knowledge
from calcs.parts.at_hand import AtHand
from calcs.parts.plan import PartPlan
from calcs.parts.remaining import MISSING, OpenOperation, open_part

LONGEST_EVENING = 24 * 60.0
"""Minutes; pieces that would take longer than a day on the plan are not asked about."""
ONE_BY_ONE = 12
"""Up to a dozen pieces each number is asked about, beyond that steps of about a seventh: nobody counts on more."""


def evening_times(
    parts: Sequence[PartPlan], at_hand: Iterable[AtHand], seed: int, draws: int = 2000
) -> tuple[OperationTimes, ...]:
    """Return the times of operations, in the order asked. `parts` are all of the build: the rates come from them."""
    known = learn_of_work(parts, seed, draws)
    # Dice of its own, read by part number and place: what is asked about beside it has no say in a time.
    noise = Noise(np.random.default_rng([seed, 1]), draws, known.rates.freedom)
    asked = _Asked(known, ShopDraws.of(known.kinds, known.rates), noise)
    return tuple(asked.times_of(one) for one in at_hand)


@dataclass(frozen=True)
class _Asked:
    known: Knowledge
    shop: ShopDraws
    noise: Noise

    def times_of(self, wanted: AtHand) -> OperationTimes:
        opened = open_part(wanted.part)
        key = wanted.part.operations[wanted.place].key
        if opened is None or wanted.pieces < 1 or self._is_unknown(opened.operations[wanted.place]):
            return OperationTimes(key, ())
        operation, code = opened.operations[wanted.place], code_of(opened.number, wanted.place)
        # What is in hand had its set-up among the minutes spent: it counts on both sides.
        begun = 1 if operation.open_minutes > 0 else 0
        standing = self._drawn(operation, wanted.pieces, begun, code) if wanted.may_stand else ()
        return OperationTimes(key, self._drawn(operation, wanted.pieces, begun + 1, code), standing)

    def _is_unknown(self, operation: OpenOperation) -> bool:
        """Whether nobody gave a figure, and no other operation has one to borrow."""
        borrowed = self.known.imputed_operations
        found = borrowed.get(operation.kind) or borrowed.get("") or NOTHING_TO_BORROW
        return operation.figure == MISSING and found is NOTHING_TO_BORROW

    def _drawn(self, operation: OpenOperation, most: int, setups: int, code: int) -> tuple[PiecesTime, ...]:
        steps = pieces_asked(most)
        rows = self._worth_asking([replace(operation, pieces=pieces, setups=setups) for pieces in steps])
        block = Block((), tuple(rows), (), column([one.pieces for one in rows]), [code] * len(rows), [])
        figures = time_figures(block, self.known.imputed_operations)
        ratios = draw_ratios(block, self.shop, figures, self.known.own, self.noise.rows(block.codes))
        planned = figures.sure_minutes + figures.minutes_per_piece * block.pieces
        minutes = np.maximum(ratios * planned - column([one.open_minutes for one in rows]), np.float32(SHORTEST))
        points = np.quantile(minutes, CHANCES, axis=1).T
        return tuple(
            PiecesTime(one.pieces, tuple(round(float(point), 2) for point in of_row))
            for one, of_row in zip(rows, points, strict=True)
        )

    def _worth_asking(self, rows: Sequence[OpenOperation]) -> Sequence[OpenOperation]:
        """Not those that would fill more than a day, nor those that what was spent already is too much for.

        Minutes spent belong to pieces not counted yet, several perhaps: one alone would seem to have overrun by far.
        """
        ratio = float(np.exp(self.shop.kinds[self.shop.places[rows[0].kind]].mean()))
        short = [one for one in rows if one.planned_minutes <= LONGEST_EVENING] or rows[:1]
        return [one for one in short if one.planned_minutes * ratio >= one.open_minutes] or short[-1:]


def pieces_asked(most: int) -> list[int]:
    """Return the numbers of pieces to ask about: each up to a dozen, then in steps, the last one all there are.

    >>> pieces_asked(3), pieces_asked(30)[-7:]
    ([1, 2, 3], [14, 16, 18, 21, 24, 27, 30])
    """
    steps = list(range(1, min(most, ONE_BY_ONE) + 1))
    while steps[-1] < most:
        steps.append(min(most, max(steps[-1] + 1, round(steps[-1] * 8 / 7))))
    return steps
