"""The sums of a core in its frame: lines that add up, both systems alike, and a sentence for what cannot be."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calcs.shop.captive_sums import captive_core, what_cannot_be
from calcs.units.registry import registry
from tests.calcs.cuts import in_inches, mm, worked_out
from tests.calcs.test_cutting import nonsense

STRAIGHT = {"block": mm(60), "window": mm(40), "core": mm(46)}
ROOMY = {"block": mm(60), "window": mm(30), "widened": mm(46), "wall": mm(5)}
CASES = [
    ("ball", STRAIGHT),
    ("ball", {**STRAIGHT, "core": mm(38)}),
    ("ball", {**ROOMY, "core": mm(50)}),
    ("ball", {**ROOMY, "core": mm(59)}),
    ("cube", {**ROOMY, "core": mm(28)}),
    ("cube", {**STRAIGHT, "core": mm(33)}),
    ("star", {**ROOMY, "core": mm(50)}),
    ("star", {**STRAIGHT, "core": mm(53)}),
    ("star", {"block": mm(60), "window": mm(16), "core": mm(39), "widened": mm(20), "wall": mm(20)}),
]
every_case = pytest.mark.parametrize(("shape", "sizes"), CASES)


@every_case
@pytest.mark.parametrize("inches", [False, True])
def test_every_line_of_numbers_comes_to_its_result(shape, sizes, inches):
    if inches:
        sizes = {name: in_inches(size) for name, size in sizes.items()}
    steps = [step for working in captive_core(shape, **sizes).workings for step in working.steps]
    summed = [step for step in steps if step.numbers]
    assert len(summed) >= 7
    for step in summed:
        assert worked_out(step.numbers) == pytest.approx(step.result, rel=0.002, abs=2e-4), step


@every_case
def test_inches_and_millimetres_come_to_the_same(shape, sizes):
    metric = captive_core(shape, **sizes)
    inch = captive_core(shape, **{name: in_inches(size) for name, size in sizes.items()})
    assert (inch.free, inch.turns, inch.held) == (metric.free, metric.turns, metric.held)
    for name in ("clearance", "wider", "depth", "meeting", "bar", "corner"):
        one, other = getattr(metric, name), getattr(inch, name)
        assert str(other.units) == "inch"
        assert other.to("mm").magnitude == pytest.approx(one.magnitude, rel=1e-9)


def test_a_ball_of_46_in_a_block_of_60_with_windows_of_40_done_by_hand():
    # Inner corners 20 ÷ √2 from the middle in each direction: 14.142 × √3 = 24.495 away, 1.495 clear of the ball; they
    # lie 30 − 14.142 = 15.858 deep, and the bars beside the windows are (60 − 40) ÷ 2 thick.
    found = captive_core("ball", **STRAIGHT)
    assert (found.free, found.turns, found.held) == (True, True, True)
    figures = [round(one.magnitude, 3) for one in (found.clearance, found.wider, found.depth, found.meeting, found.bar)]
    assert figures == [1.495, 6, 7, 15.858, 10]
    assert found.corner.magnitude == pytest.approx(math.sqrt(3) * 15.858, abs=1e-3)


def test_each_sum_ends_in_its_verdict():
    found = captive_core("star", **{**STRAIGHT, "core": mm(53)})
    verdicts = [working.steps[-1].result for working in found.workings[:3]]
    assert verdicts[0].startswith("it comes free")
    assert verdicts[1] == "it does not turn all ways"
    assert verdicts[2] == "it does not pass a window straight; tilted, it might"


@pytest.mark.parametrize(
    ("shape", "sizes", "field", "says"),
    [
        ("ball", (60, 60, 46), "window", "cut the frame apart"),
        ("ball", (60, 70, 46), "window", "less than 60 mm"),
        ("ball", (60, 40, 60), "core", "nothing to cut it out of"),
        ("cube", (60, 40, 61), "core", "larger than the block"),
        ("star", (60, 40, 61), "core", "larger than the block"),
        ("ball", (60, 40, 46, 45), "wall", "How thick is the wall"),
        ("ball", (60, 40, 46, None, 4), "widened", "How wide is it behind the wall"),
        ("ball", (60, 40, 46, 38, 4), "widened", "no narrower than the window of 40 mm"),
        ("ball", (60, 40, 46, 45, 11), "wall", "at most 10 mm"),
        ("ball", (60, 40, 46, 53, 4), "widened", "at most 52 mm"),
    ],
)
def test_what_cannot_be_is_named_with_the_reason(shape, sizes, field, says):
    given = [None if size is None else mm(size) for size in (*sizes, None, None)[:5]]
    name, sentence = what_cannot_be(shape, *given)
    assert name == field
    assert says in sentence
    with pytest.raises(ValueError, match=says):
        captive_core(shape, *given)


@pytest.mark.parametrize(
    ("shape", "sizes"), [("star", (60, 40, 60)), ("ball", (60, 40, 46, 52, 4)), ("ball", (2.5, 1.9, 2, 1.9, 0.3))]
)
def test_a_size_on_its_bound_is_taken(shape, sizes):
    given = [None if size is None else registry().Quantity(size, "inch") for size in (*sizes, None, None)[:5]]
    assert what_cannot_be(shape, *given) is None
    assert captive_core(shape, *given).bar.magnitude > 0


def test_another_shape_is_refused():
    with pytest.raises(ValueError, match="a ball, a cube or a star"):
        captive_core("egg", **STRAIGHT)


@settings(deadline=None, max_examples=80)
@given(case=st.sampled_from(CASES), data=st.data())
def test_any_nonsense_is_refused_with_a_sentence_or_answered_with_finite_figures(case, data):
    shape, sizes = case
    which = data.draw(st.sampled_from(sorted(sizes)))
    try:
        found = captive_core(shape, **{**sizes, which: data.draw(nonsense)})
    except ValueError as trouble:
        refused = str(trouble)
    else:
        steps = [step for working in found.workings for step in working.steps]
        assert all(isinstance(step.result, str) or math.isfinite(step.result) for step in steps)
        return
    assert refused[-1] in ".?"
    assert "\n" not in refused
