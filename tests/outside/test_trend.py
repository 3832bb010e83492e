"""The trend of a yield over batches, against SciPy's exact tests and a count of every case."""

from itertools import product

import pytest
from scipy import stats

from calcs.parts.trend import _normal, yield_trend


@pytest.mark.parametrize(
    "batches", [((3, 9), (6, 4)), ((3, 9), (9, 1)), ((12, 0), (5, 5)), ((1, 2), (2, 1)), ((7, 3), (7, 3))]
)
def test_of_two_batches_it_is_fishers_exact_test(batches):
    # Reference library: scipy.stats.fisher_exact.
    found = yield_trend(batches)
    table = [list(counts) for counts in batches]
    assert found.better == pytest.approx(stats.fisher_exact(table, alternative="less").pvalue, abs=1e-12)
    assert found.worse == pytest.approx(stats.fisher_exact(table, alternative="greater").pvalue, abs=1e-12)


def test_the_lady_tasting_tea():
    # R. A. Fisher 1935, The Design of Experiments, chapter 2 (from memory): three of four cups right, twice: 17/70.
    assert yield_trend([(1, 3), (3, 1)]).better == pytest.approx(17 / 70, abs=1e-12)


@pytest.mark.parametrize(
    "batches", [((3, 5), (4, 2), (6, 1)), ((2, 0), (5, 3), (3, 1), (4, 1)), ((6, 1), (4, 2), (3, 5))]
)
def test_of_several_batches_it_weighs_every_fall_of_the_losses(batches):
    # Reference library: scipy.stats.multivariate_hypergeom over every possible fall.
    sizes = [good + scrap for good, scrap in batches]
    lost = sum(scrap for _, scrap in batches)
    seen = sum(place * scrap for place, (_, scrap) in enumerate(batches))
    falls = stats.multivariate_hypergeom(sizes, lost)
    better = worse = 0.0
    for fall in product(*(range(size + 1) for size in sizes)):
        if sum(fall) == lost:
            score, chance = sum(place * here for place, here in enumerate(fall)), float(falls.pmf(fall))
            better += chance * (score <= seen)
            worse += chance * (score >= seen)
    found = yield_trend(batches)
    assert (found.better, found.worse) == pytest.approx((better, worse), abs=1e-12)


def test_for_many_pieces_the_normal_stands_in_for_the_count():
    sizes, losses = [120, 130, 110, 125], [20, 18, 11, 9]
    exact = yield_trend([(size - lost, lost) for size, lost in zip(sizes, losses, strict=True)])
    near = _normal(sizes, sum(losses), sum(place * lost for place, lost in enumerate(losses)))
    assert near.better == pytest.approx(exact.better, abs=2e-3)
    assert near.worse == pytest.approx(exact.worse, abs=2e-3)
    # Both sides count the fall that was seen, so they share its chance; a normal has that only by its half steps.
    shared = exact.better + exact.worse - 1
    assert near.better + near.worse - 1 == pytest.approx(shared, rel=0.02)
    assert exact.verdict == "better"
