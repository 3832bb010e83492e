"""Stock, threads, fits, scaling and shop mathematics: units, limits, workings that add up, no upset by nonsense."""

import math
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calcs import cutting
from calcs.shop import (
    bolt_circle,
    change_wheels,
    chords,
    corners,
    dividing,
    fits,
    gears,
    scaling,
    shells,
    shrinking,
    springs,
    stock,
    tapers,
    threads,
    three_guesses,
    tool_life,
    triangles,
)
from calcs.shop.drills import drills, nearest_drill
from calcs.shop.over_wires import best_wire, over_wires
from calcs.units.registry import registry
from tests.calcs.cuts import in_inches, mm, worked_out
from tests.calcs.test_cutting import nonsense

Q = registry().Quantity
TUBE = stock.tube(mm(60), wall=mm(5))
HOUR = Q(60, "min")
STEEL = Q(7850, "kg/m**3")

# name: (function, fair arguments, what of its answer the working's last line says, or None)
SUMS = {
    "spindle speed": (cutting.spindle_speed, {"cutting_speed": Q(30, "m/min"), "diameter": mm(20)}, "value"),
    "finish": (cutting.theoretical_finish, {"feed": mm(0.1), "nose_radius": mm(0.4)}, "value"),
    "round": (stock.round_bar, {"diameter": mm(20)}, "area"),
    "square": (stock.square_bar, {"side": mm(20)}, "area"),
    "hexagon": (stock.hexagon_bar, {"across_flats": mm(20)}, "area"),
    "flat": (stock.flat_bar, {"width": mm(40), "thickness": mm(6)}, "area"),
    "tube": (stock.tube, {"outer": mm(40), "inner": mm(30)}, "area"),
    "tube by its wall": (stock.tube, {"outer": mm(40), "wall": mm(5)}, "area"),
    "volume": (lambda length: stock.volume(TUBE, length), {"length": mm(100)}, "value"),
    "mass": (lambda **more: stock.mass(TUBE, **more), {"length": mm(100), "density": STEEL}, "value"),
    "cut away": (stock.cut_away, {"blank": Q(30, "cm**3"), "finished": Q(12, "cm**3"), "density": STEEL}, None),
    "cut away in mass": (stock.cut_away, {"blank": Q(3, "kg"), "finished": Q(1, "kg"), "density": STEEL}, None),
    "bar length": (stock.bar_length, {"blanks": 7, "each": mm(30), "parting": mm(3), "grip": mm(40)}, "value"),
    "blanks": (stock.blanks_from_bar, {"bar": mm(1000), "each": mm(30), "parting": mm(3), "grip": mm(40)}, "value"),
    "nearest stock": (stock.nearest_stock, {"wanted": mm(23)}, "difference"),
    "drill": (nearest_drill, {"size": mm(5.1)}, None),
    "best wire": (best_wire, {"pitch": mm(1.5), "angle": 55}, "value"),
    "over wires": (lambda wire: over_wires(threads.iso_thread(mm(10), mm(1.5)), 60, wire), {"wire": mm(0.9)}, None),
    "iso thread": (threads.iso_thread, {"major": mm(10), "pitch": mm(1.5)}, "minor"),
    "per cent": (threads.percent_of_thread, {"major": mm(10), "pitch": mm(1.5), "drill": mm(8.5)}, "value"),
    "tapping drill": (threads.tapping_drill, {"major": mm(10), "pitch": mm(1.5), "percent": 70}, "value"),
    "limits": (lambda size: fits.limits(size, "g6"), {"size": mm(20)}, "largest"),
    "fit": (lambda size: fits.fit(size, "H7/p6"), {"size": mm(20)}, None),
    "corners": (corners.across_corners, {"flats": mm(10), "sides": 6}, "value"),
    "largest": (corners.across_flats, {"corners": mm(10), "sides": 8}, "value"),
    "depth of flat": (corners.depth_of_flat, {"bar": mm(20), "flats": mm(14)}, "value"),
    "sine bar": (corners.sine_bar, {"length": mm(100), "angle": 12.5}, "value"),
    "its angle": (corners.angle_of_sine_bar, {"length": mm(100), "height": mm(25)}, "value"),
    "gear": (gears.spur_gear, {"module": mm(0.8), "teeth": 37}, "blank"),
    "gears apart": (gears.centre_distance, {"module": mm(0.8), "teeth": 37, "others": 22}, "value"),
    "spring": (
        springs.coil_spring,
        {"wire": mm(1.2), "mean": mm(9), "coils": 7.5, "travel": mm(6)},
        None,
    ),
    "shrinking on": (shrinking.shrink_fit, {"bore": mm(25), "shaft": mm(25.04), "clearance": mm(0.03)}, None),
    "life of a tool": (tool_life.life_at, {"speed": Q(30, "m/min"), "life": HOUR, "other": Q(25, "m/min")}, "value"),
    "speed for a life": (
        tool_life.speed_for_life,
        {"speed": Q(30, "m/min"), "life": HOUR, "wanted": Q(200, "min"), "n": 0.3},
        "value",
    ),
    "three guesses": (
        three_guesses.three_guesses,
        {"shortest": HOUR, "likeliest": Q(100, "min"), "longest": Q(7, "h"), "works": 5},
        None,
    ),
    "wall under pressure": (
        shells.hoop_stress,
        {"inside": mm(90), "wall": mm(3), "pressure": Q(5.5, "bar")},
        None,
    ),
    "change wheels": (change_wheels.change_wheels, {"pitch": mm(0.7), "leadscrew": mm(3)}, None),
    "stepped off": (chords.step_off, {"diameter": mm(80), "divisions": 7}, "value"),
    "circle": (bolt_circle.bolt_circle, {"radius": mm(40), "holes": 5, "first": 30}, "chord"),
    "taper": (tapers.taper_from_sizes, {"large": mm(25), "small": mm(20), "length": mm(80)}, None),
    "taper by angle": (tapers.taper_from_angle, {"included": 8}, None),
    "taper per foot": (tapers.taper_from_per_foot, {"per_foot": mm(15)}, None),
    "taper by ratio": (tapers.taper_from_ratio, {"one_in": 20}, None),
    "two sides": (triangles.right_triangle, {"a": mm(30), "b": mm(50)}, None),
    "side and hypotenuse": (triangles.right_triangle, {"a": mm(30), "c": mm(50)}, None),
    "other side": (triangles.right_triangle, {"b": mm(30), "c": mm(50)}, None),
    "side and angle": (triangles.right_triangle, {"a": mm(30), "alpha": 35}, None),
    "side beside the angle": (triangles.right_triangle, {"b": mm(30), "alpha": 35}, None),
    "hypotenuse and angle": (triangles.right_triangle, {"c": mm(30), "beta": 35}, None),
    "dividing": (dividing.divide, {"divisions": 127}, None),
    "swept": (scaling.swept_volume, {"bore": mm(25), "stroke": mm(30), "cylinders": 12}, "value"),
    "to model": (lambda size: scaling.to_model(size, Fraction(1, 8)), {"size": mm(600)}, "value"),
}
every_sum = pytest.mark.parametrize("name", SUMS)


@every_sum
def test_the_workings_last_line_is_the_answer(name):
    function, figures, part = SUMS[name]
    answer = function(**figures)
    assert answer.working.steps
    if part is not None:
        value = getattr(answer, part)
        assert answer.working.steps[-1].result == value.magnitude


@every_sum
@pytest.mark.parametrize("inches", [False, True])
def test_every_line_of_numbers_comes_to_its_result(name, inches):
    function, figures, _ = SUMS[name]
    if inches:
        figures = {key: in_inches(value) if hasattr(value, "units") else value for key, value in figures.items()}
    for step in function(**figures).working.steps:
        if not step.numbers or isinstance(step.result, str):
            continue
        text = step.numbers.replace("arc", "a")
        result = worked_out(text)
        if "arc" in step.numbers:
            result = math.degrees(result)
        # Per cent and differences are taken of figures shown to a tenth of a thou.
        assert result == pytest.approx(step.result, rel=0.01, abs=2e-4 if step.unit in ("in", "mm") else 1e-9), step


@every_sum
def test_inches_and_millimetres_come_to_the_same(name):
    function, figures, part = SUMS[name]
    if part is None:
        return
    metric = getattr(function(**figures), part)
    converted = {key: in_inches(value) if hasattr(value, "units") else value for key, value in figures.items()}
    if name == "nearest stock":
        converted["unit"] = "mm"
    inches = getattr(function(**converted), part)
    assert inches.to(metric.units).magnitude == pytest.approx(metric.magnitude, rel=1e-9)


@settings(deadline=None, max_examples=250)
@given(name=st.sampled_from(sorted(SUMS)), data=st.data())
def test_any_nonsense_is_refused_with_a_sentence_or_answered_with_finite_figures(name, data):
    function, figures, _ = SUMS[name]
    which = data.draw(st.sampled_from(sorted(figures)))
    try:
        answer = function(**{**figures, which: data.draw(nonsense)})
    except ValueError as trouble:
        refused = str(trouble)
    else:
        assert all(isinstance(step.result, str) or math.isfinite(step.result) for step in answer.working.steps)
        return
    assert refused.endswith(".")
    assert "\n" not in refused


@settings(deadline=None, max_examples=60)
@given(
    blanks=st.integers(1, 500),
    each=st.floats(0.1, 300),
    parting=st.floats(0, 10),
    grip=st.floats(0, 100),
)
def test_a_bar_reckoned_for_so_many_blanks_gives_as_many(blanks, each, parting, grip):
    bar = stock.bar_length(blanks, mm(each), parting=mm(parting), grip=mm(grip)).value
    assert stock.blanks_from_bar(bar, mm(each), parting=mm(parting), grip=mm(grip)).value.magnitude == blanks
    shorter = stock.blanks_from_bar(bar * 0.999, mm(each), parting=mm(parting), grip=mm(grip))
    assert shorter.value.magnitude == pytest.approx(blanks - 1, abs=blanks * 0.01 + grip / each)
    assert shorter.value.magnitude < blanks


def test_a_bar_that_is_too_short_gives_none():
    assert stock.blanks_from_bar(mm(30), mm(40)).value.magnitude == 0


@settings(deadline=None, max_examples=60)
@given(size=st.floats(1, 500), ratio=st.fractions(Fraction(1, 100), 4).filter(lambda one: one > 0))
def test_to_the_model_and_back_is_full_size_and_volumes_go_by_the_cube(size, ratio):
    for quantity, power in ((mm(size), 1), (mm(size) ** 2, 2), (mm(size) ** 3, 3), (Q(size, "kg"), 3)):
        small = scaling.to_model(quantity, ratio).value
        assert small.magnitude == pytest.approx(quantity.magnitude * float(ratio) ** power, rel=1e-12)
        assert scaling.to_full_size(small, ratio).value.magnitude == pytest.approx(quantity.magnitude, rel=1e-12)


@pytest.mark.parametrize("given_to_scale", [Q(3, "m/min"), 5, None, Q(-1, "mm"), Q(math.nan, "mm")])
def test_what_cannot_be_scaled_is_refused(given_to_scale):
    with pytest.raises(ValueError, match=r"^This scales lengths|^The length must be"):
        scaling.to_model(given_to_scale, Fraction(1, 8))


def test_the_nearest_stock_and_its_neighbours():
    found = stock.nearest_stock(mm(23))
    assert (found.below.magnitude, found.nearest.magnitude, found.above.magnitude) == (22, 22, 25)
    assert found.difference.magnitude == -1
    assert found.section_percent == pytest.approx(((22 / 23) ** 2 - 1) * 100)
    own = stock.nearest_stock(mm(23), own=(mm(20), Q(1, "inch")))
    assert own.nearest.magnitude == pytest.approx(25.4)
    assert stock.nearest_stock(mm(500)).above is None
    assert stock.nearest_stock(Q(0.3, "inch"), "mm").nearest.to("mm").magnitude == pytest.approx(8)


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: stock.tube(mm(20), inner=mm(20)), "smaller than its outside"),
        (lambda: stock.tube(mm(20), wall=mm(11)), "smaller than its outside"),
        (lambda: stock.tube(mm(20)), "one of the two"),
        (lambda: stock.cut_away(Q(1, "kg"), Q(2, "kg")), "larger than its blank"),
        (lambda: stock.cut_away(Q(1, "kg"), Q(2, "cm**3")), "must be a mass"),
        (lambda: stock.nearest_stock(mm(20), own=()), "no stock sizes"),
        (lambda: stock.bar_length(0, mm(20)), "whole number from 1"),
        (lambda: threads.iso_thread(mm(2), mm(2)), "no core"),
        (lambda: threads.find_thread("M7.3"), "not in the tables"),
        (lambda: threads.percent_of_thread(mm(6), mm(1), mm(6)), "no thread would be left"),
        (lambda: threads.percent_of_thread(mm(6), mm(1), mm(5), "other"), "The form of a thread is"),
        (lambda: nearest_drill(mm(5), ("letters",)), "sets of drills"),
        (lambda: triangles.right_triangle(alpha=30, beta=60), "Two angles fix no size"),
        (lambda: triangles.right_triangle(a=mm(3)), "two parts"),
        (lambda: triangles.right_triangle(a=mm(3), b=mm(4), c=mm(5)), "two parts"),
        (lambda: triangles.right_triangle(a=mm(5), c=mm(5)), "shorter than its hypotenuse"),
        (lambda: triangles.right_triangle(a=mm(5), alpha=90), "between"),
        (lambda: tapers.taper_from_sizes(mm(20), mm(20), mm(50)), "no taper"),
        (lambda: bolt_circle.bolt_circle(mm(20), 0), "whole number from 1"),
        (lambda: bolt_circle.bolt_circle(mm(20), 3, direction="left"), "anticlockwise or clockwise"),
        (lambda: dividing.divide(42, circles=()), "numbers of holes"),
        (lambda: dividing.divide(2.5), "whole number"),
    ],
)
def test_what_cannot_be_is_refused_with_the_reason(call, says):
    with pytest.raises(ValueError, match=says):
        call()


@settings(deadline=None, max_examples=60)
@given(
    radius=st.floats(1, 500), holes=st.integers(1, 40), first=st.floats(-360, 360),
    x=st.floats(-200, 200), y=st.floats(-200, 200), clockwise=st.booleans(),
)  # fmt: skip
def test_holes_lie_on_their_circle_evenly(radius, holes, first, x, y, clockwise):
    direction = "clockwise" if clockwise else "anticlockwise"
    circle = bolt_circle.bolt_circle(mm(radius), holes, centre=(mm(x), mm(y)), first=first, direction=direction)
    places = [(hole.x.magnitude - x, hole.y.magnitude - y) for hole in circle.holes]
    assert len(places) == holes
    assert all(math.hypot(*place) == pytest.approx(radius, rel=1e-6) for place in places)
    assert places[0][0] == pytest.approx(radius * math.cos(math.radians(first)), abs=1e-6 * radius)
    for one, other in pairwise(places):
        assert math.dist(one, other) == pytest.approx(circle.chord.magnitude, rel=1e-6)
        turning = one[0] * other[1] - one[1] * other[0]
        if holes > 2:
            assert (turning < 0) == clockwise


@settings(deadline=None, max_examples=60)
@given(a=st.floats(0.1, 1000), b=st.floats(0.1, 1000))
def test_any_two_parts_give_the_same_triangle(a, b):
    whole = triangles.right_triangle(a=mm(a), b=mm(b))
    for known in (
        {"a": whole.a, "c": whole.c}, {"b": whole.b, "c": whole.c}, {"a": whole.a, "alpha": whole.alpha},
        {"b": whole.b, "beta": whole.beta}, {"c": whole.c, "alpha": whole.alpha}, {"c": whole.c, "beta": whole.beta},
    ):  # fmt: skip
        if min(a, b) / max(a, b) < 0.01:
            return
        again = triangles.right_triangle(**known)
        assert again.a.magnitude == pytest.approx(a, rel=1e-6)
        assert again.b.magnitude == pytest.approx(b, rel=1e-6)
        assert again.alpha == pytest.approx(whole.alpha, rel=1e-6)
    assert whole.alpha + whole.beta == pytest.approx(90)


@settings(deadline=None, max_examples=100)
@given(
    divisions=st.integers(1, 400), worm=st.sampled_from([40, 60, 90]),
    circles=st.lists(st.integers(15, 66), min_size=1, max_size=12),
)  # fmt: skip
def test_a_setting_divides_exactly_and_none_is_left_out(divisions, worm, circles):
    found = dividing.divide(divisions, worm, circles)
    assert found.turns == Fraction(worm, divisions)
    assert all(setting.turns * divisions == worm for setting in found.settings)
    works = {circle for circle in circles if (found.turns * circle).denominator == 1}
    if found.turns.denominator == 1:
        assert found.settings[0].holes == 0
    else:
        assert {setting.circle for setting in found.settings} == works
    if not found.settings:
        assert "None of these plates" in found.words
        off = abs(found.nearest.turns * divisions - worm) / worm * 360
        assert found.error_degrees == pytest.approx(float(off), rel=1e-9)
        best = min(abs(Fraction(round(found.turns * circle), circle) - found.turns) for circle in circles)
        assert abs(found.nearest.turns - found.turns) == best
    else:
        assert found.nearest is None
        assert found.error_degrees == 0


def test_a_prime_that_no_plate_has_is_said():
    found = dividing.divide(127)
    assert found.settings == ()
    assert found.words.startswith("None of these plates gives it exactly. The nearest is ")


@settings(deadline=None, max_examples=60)
@given(rate=st.floats(0.001, 2))
def test_a_taper_is_the_same_however_it_is_said(rate):
    taper = tapers.taper_from_ratio(1 / rate)
    for other in (
        tapers.taper_from_angle(taper.included),
        tapers.taper_from_per_foot(taper.per_foot),
        tapers.taper_from_sizes(mm(100 + 100 * rate), mm(100), mm(100)),
    ):
        assert other.rate == pytest.approx(rate, rel=1e-6)
        assert other.half == pytest.approx(taper.half, rel=1e-6)


@settings(deadline=None, max_examples=60)
@given(percent=st.floats(20, 100), pitch=st.floats(0.2, 3), form=st.sampled_from(["iso", "whitworth", "ba"]))
def test_a_tapping_drill_leaves_the_per_cent_it_was_asked_for(percent, pitch, form):
    major = mm(pitch * 8)
    hole = threads.tapping_drill(major, mm(pitch), percent, form).value
    assert threads.percent_of_thread(major, mm(pitch), hole, form).value.magnitude == pytest.approx(percent)


@settings(deadline=None, max_examples=60)
@given(size=st.floats(0.4, 25))
def test_the_nearest_drill_has_no_nearer(size):
    found = nearest_drill(mm(size))
    away = abs(float(found.nearest.mm) - size)
    assert all(abs(float(drill.mm) - size) >= away - 1e-12 for drill in drills())
    assert found.below is None or float(found.below.mm) <= size + 1e-6
    assert found.above is None or float(found.above.mm) >= size - 1e-6
