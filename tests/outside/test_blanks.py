"""Start quantities against SciPy's distributions, a simulation, and batches that people told of."""

import math
from itertools import product

import numpy as np
import pytest
from scipy import stats

from calcs.parts.blanks import blanks_needed, chances_by_blanks, cheapest_start
from calcs.parts.yields import YieldBelief, wilson_interval
from tests.calcs.chances import enough


@pytest.mark.parametrize(("needed", "share"), [(1, 0.5), (4, 0.8), (12, 0.9), (40, 0.97)])
def test_enough_with_a_known_yield_is_the_negative_binomial(needed, share):
    # Reference library: scipy.stats.nbinom counts the failures before the n-th success.
    waiting = stats.nbinom(needed, share)
    chances = chances_by_blanks(needed, [YieldBelief.known(share)], needed + 30)
    for lost in range(31):
        assert chances[needed + lost] == pytest.approx(waiting.cdf(lost), abs=1e-11)


@pytest.mark.parametrize(("a", "b"), [(9, 1), (2.5, 0.7), (40, 4)])
@pytest.mark.parametrize("needed", [1, 6, 20])
def test_enough_with_a_doubtful_yield_is_the_beta_negative_binomial(a, b, needed):
    # Reference library: scipy.stats.betanbinom.
    waiting = stats.betanbinom(needed, a, b)
    chances = chances_by_blanks(needed, [YieldBelief(a, b)], needed + 25)
    for lost in range(26):
        assert chances[needed + lost] == pytest.approx(waiting.cdf(lost), abs=1e-10)


def test_the_third_good_one_on_the_seventh_try():
    # Worked by hand for a yield of 0.25: choose(6, 2) × 0.25³ × 0.75⁴ = 0.0742 and a variance of 3 × 0.75 ÷ 0.25² = 36;
    # dividing by p and not by p² would give 9.
    belief = [YieldBelief.known(0.25)]
    reached = np.array(chances_by_blanks(3, belief, 199))
    chances, number = np.diff(reached), np.arange(1, 200)
    assert chances[6] == pytest.approx(0.0742, abs=5e-5)
    mean = float(chances @ number)
    assert float(chances @ (number - mean) ** 2) == pytest.approx(36, abs=0.01)


@pytest.mark.parametrize(
    ("good", "low", "high"),
    [
        # Wald's interval at 95 % of 356 pieces, share ± 1.96 √(share × (1 − share) ÷ n), worked by hand.
        (171, 0.428, 0.532),
        (177, 0.445, 0.549),
    ],
)
def test_wilsons_interval_of_many_pieces_is_walds_and_of_few_is_not(good, low, high):
    assert wilson_interval(good, 356, 0.95) == pytest.approx((low, high), abs=1.2e-3)
    share, z = 12 / 13, stats.norm.ppf(0.975)
    wald_high = share + z * math.sqrt(share * (1 - share) / 13)
    assert wald_high > 1 > wilson_interval(12, 13, 0.95)[1]


def test_good_pieces_of_a_long_route_agree_with_a_simulation():
    # A direct simulation: a yield is drawn from each belief, then every piece is tried.
    route = [YieldBelief(18, 2), YieldBelief(30, 1), YieldBelief(9, 3), YieldBelief(12, 0.5)]
    in_work = (0, 5, 0, 20)
    rng, draws = np.random.default_rng(11), 200_000
    pieces = np.full(draws, 150)
    for belief, waiting in zip(route, in_work, strict=True):
        pieces = rng.binomial(pieces + waiting, rng.beta(belief.a, belief.b, draws))
    for needed in (60, 90, 110, 125, 140, 155):
        ours = enough(150, needed, route, in_work)
        error = math.sqrt(max(ours * (1 - ours), 1e-6) / draws)
        assert ours == pytest.approx((pieces >= needed).mean(), abs=4.5 * error)


def test_the_cheapest_start_agrees_with_going_through_every_case():
    # Brute force over every number of pieces after every operation, with the binomial of scipy.stats.
    shares, needed, minutes, setup = (0.8, 0.9), 3, 25.0, 90.0
    expected = {}
    for blanks in range(3, 10):
        total = minutes * blanks
        for middle, end in product(range(blanks + 1), repeat=2):
            if end <= middle:
                chance = stats.binom(blanks, shares[0]).pmf(middle) * stats.binom(middle, shares[1]).pmf(end)
                missing = max(0, needed - end)
                total += chance * ((setup if missing else 0.0) + missing / (shares[0] * shares[1]) * minutes)
        expected[blanks] = total
    found = cheapest_start(needed, [YieldBelief.known(share) for share in shares], minutes, setup)
    table = dict(found.table)
    for blanks, total in expected.items():
        assert table[blanks] == pytest.approx(total, abs=1e-9)
    assert found.blanks == min(expected, key=lambda blanks: expected[blanks])


def test_thin_discs_of_a_real_build():
    # Common practice: eleven made to get four usable. So many again are an even chance of four, and no more.
    spoilt = [YieldBelief.known(4 / 11)]
    assert blanks_needed(4, 0.5, spoilt) == pytest.approx(11, abs=1)
    assert enough(11, 4, spoilt) == pytest.approx(stats.binom(11, 4 / 11).sf(3), abs=1e-12)
    assert blanks_needed(4, 0.9, spoilt) == 4 + stats.nbinom(4, 4 / 11).ppf(0.9)


def test_piston_rings_of_a_real_batch_start_again():
    # Common practice: twelve needed, twenty made, fourteen usable: two left over, so that twelve were enough of twenty.
    belief = YieldBelief(1, 1).updated(14, 6)
    assert enough(20, 12, [belief]) > 0.5
    # Dividing by (1 − scrap) gives the middle; multiplying by (1 + scrap) starts too few.
    assert enough(math.ceil(12 / 0.7), 12, [YieldBelief.known(0.7)]) > 0.5
    assert enough(math.ceil(12 * 1.3), 12, [YieldBelief.known(0.7)]) < 0.5
