"""The sums behind what measured pieces say: each line gives the figure that stands behind it."""

import pytest

from calcs.parts.capability import capability, pieces_to_tell, without_limits
from calcs.parts.capability_sums import capability_working, share_in_words
from calcs.working.exactly_enough import evaluate, gives

SIZES = [12.008, 12.010, 12.009, 12.0115, 12.0074, 12.009, 12.0081, 12.010]


@pytest.mark.parametrize(("unit", "by"), [("mm", 1.0), ("in", 25.4)])
@pytest.mark.parametrize(("lower", "upper"), [(12.0, 12.018), (None, 12.018), (12.0, None), (12.01, 12.018)])
def test_every_sum_comes_to_its_figure(unit, by, lower, upper):
    found = capability(SIZES, lower, upper)
    working = capability_working(SIZES, found, lower, upper, unit)
    steps = {step.symbol: step for step in working.steps}
    for symbol in {"m", "s", "Cp", "Cpk", "drift a piece"} & set(steps):
        step = steps[symbol]
        value = evaluate(step.numbers)
        assert value is not None, symbol
        assert gives(value, step.answer.split(" ")[0].lstrip("−")), (symbol, step.numbers, step.answer)
    assert ("Cp" in steps) == (lower is not None and upper is not None)
    assert steps["m"].result == pytest.approx(found.mean / by)
    assert steps["s"].result == pytest.approx(found.spread / by)
    assert steps["Cpk"].result == pytest.approx(found.cpk)


def test_without_limits_or_spread_the_sum_stops_where_it_does():
    free = capability_working([20.0, 20.1, 20.2], without_limits([20.0, 20.1, 20.2]), None, None, "mm")
    assert [step.symbol for step in free.steps] == ["n", "m", "s", "drift a piece"]
    one = capability_working([20.0], capability([20.0], 19.0, None), 19.0, None, "mm")
    assert [step.symbol for step in one.steps] == ["n", "m"]
    alike = capability_working([20.0] * 3, capability([20.0] * 3, 19.0, None), 19.0, None, "mm")
    assert [step.answer for step in alike.steps] == ["3", "20.0000 mm", "0 mm", "0 mm"]


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (0.5, "50 %"),
        (0.0101, "1 %"),
        (0.0099, "1 piece in 100"),
        (1 / 2480, "1 piece in 2,500"),
        (0.0, "hardly any"),
        (1.0, "nearly all"),
    ],
)
def test_shares_are_told_in_pieces_where_per_cents_are_too_coarse(share, words):
    assert share_in_words(share) == words


def test_so_many_pieces_as_would_tell_do_tell():
    few = [12.008, 12.012, 12.009]
    number = pieces_to_tell(capability(few, 12.0, 12.018), 12.0, 12.018)
    mean, spread = capability(few, 12.0, 12.018).mean, capability(few, 12.0, 12.018).spread
    for n, too_few in ((number, False), (number - 1, True)):
        places = [place - (n - 1) / 2 for place in range(n)]
        unit = (sum(place**2 for place in places) / (n - 1)) ** 0.5
        made = [mean + spread * place / unit for place in places]
        assert capability(made, 12.0, 12.018).too_few_to_tell is too_few


@pytest.mark.parametrize("sizes", [[12.01], [12.01] * 4, [12.008, 12.010] * 20])
def test_where_more_pieces_would_not_help_no_number_is_named(sizes):
    assert pieces_to_tell(capability(sizes, 12.0, 12.018), 12.0, 12.018) is None
