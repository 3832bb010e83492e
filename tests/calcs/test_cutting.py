"""What holds of every cut: units, directions, limits, and a working that adds up."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calcs.cutting import (
    Depths,
    Machine,
    SetUp,
    drilling,
    face_milling,
    facing,
    slot_milling,
    spindle_speed,
    turning,
    with_handling,
)
from calcs.cutting.processes import PROCESSES
from calcs.units.registry import registry
from tests.calcs.cuts import CUTS, FEEDS, cut, in_inches, mm, worked_out

Q = registry().Quantity
every_cut = pytest.mark.parametrize("name", CUTS)


@every_cut
def test_the_workings_last_line_is_the_time_returned(name):
    done = cut(name)
    last = done.working.steps[-1]
    assert last.result == done.time.magnitude
    assert last.unit == "min"
    assert str(done.time.units) == "minute"


@every_cut
@pytest.mark.parametrize("inches", [False, True])
def test_every_line_of_numbers_comes_to_its_result(name, inches):
    function, figures = CUTS[name]
    if inches:
        figures = {key: in_inches(value) for key, value in figures.items()}
    lines = [step for step in function(**figures).working.steps if step.numbers]
    assert len(lines) >= (1 if name == "sawing" else 3)
    for step in lines:
        # Figures are shown in two or three digits, so what they come to is right to a few per cent.
        assert worked_out(step.numbers) == pytest.approx(step.result, rel=0.05), step.as_text()


@every_cut
def test_inches_and_millimetres_come_to_the_same(name):
    function, figures = CUTS[name]
    metric, inches = cut(name), function(**{key: in_inches(value) for key, value in figures.items()})
    assert inches.minutes == pytest.approx(metric.minutes, rel=1e-9)
    for part in ("spindle_speed", "cutting_speed", "feed_rate", "removal_rate", "power", "torque"):
        one, other = getattr(metric, part), getattr(inches, part)
        assert (one is None) == (other is None)
        if one is not None:
            assert other.to(one.units).magnitude == pytest.approx(one.magnitude, rel=1e-9)
    shown = " ".join(step.unit for step in inches.working.steps)
    assert "in" in shown
    assert "mm" not in shown


FASTER = [(name, which) for name in CUTS for which in sorted(FEEDS & set(CUTS[name][1]))]
LONGER = [
    (name, which)
    for name in CUTS
    for which in sorted({"length", "depth", "volume", "section", "diameter"} & set(CUTS[name][1]))
    if (name, which) not in (("slot_milling", "depth"), ("keyway", "depth"))  # that goes by whole passes
]


@settings(deadline=None, max_examples=60)
@given(what=st.sampled_from(FASTER), times=st.floats(1.01, 3))
def test_the_time_falls_as_feed_or_speed_rises(what, times):
    name, which = what
    assert cut(name, **{which: CUTS[name][1][which] * times}).minutes < cut(name).minutes


@settings(deadline=None, max_examples=60)
@given(what=st.sampled_from(LONGER), times=st.floats(1.01, 5))
def test_a_longer_cut_takes_longer(what, times):
    name, which = what
    assert cut(name, **{which: CUTS[name][1][which] * times}).minutes > cut(name).minutes


bad_numbers = st.sampled_from([0.0, -1.0, -0.0, math.nan, math.inf, -math.inf, 1e-300, 1e300, 5e-324, 1e9])
units_of_all_sorts = st.sampled_from(
    [
        "mm",
        "inch",
        "m/min",
        "ft/min",
        "cm**2",
        "cm**3",
        "s",
        "kg",
        "degree",
        "rpm",
        "J/mm**3",
        "dimensionless",
        "kelvin",
    ]
)
nonsense = st.one_of(
    st.builds(Q, bad_numbers | st.floats(allow_nan=True), units_of_all_sorts),
    st.sampled_from(["", "3 mm", None, 5, True, (), Q([1.0, 2.0], "mm"), Q(20, "degC")]),
)


@settings(deadline=None, max_examples=200)
@given(name=st.sampled_from(sorted(CUTS)), data=st.data())
def test_any_nonsense_is_refused_with_a_sentence_or_gives_a_finite_time(name, data):
    figures = CUTS[name][1]
    which = data.draw(st.sampled_from(sorted(figures)))
    others = {which: data.draw(nonsense)}
    if data.draw(st.booleans()):
        others[data.draw(st.sampled_from(sorted(figures)))] = data.draw(nonsense)
    try:
        done = cut(name, **others)
    except ValueError as trouble:
        sentence = str(trouble)
        assert sentence[0].isupper()
        assert sentence.endswith(".")
        assert "\n" not in sentence
        return
    assert math.isfinite(done.minutes)
    assert done.minutes > 0
    assert all(isinstance(step.result, str) or math.isfinite(step.result) for step in done.working.steps)


@settings(deadline=None, max_examples=150)
@given(name=st.sampled_from(sorted(CUTS)), data=st.data())
def test_figures_of_any_size_are_refused_or_give_a_finite_time(name, data):
    others = {
        key: Q(value.magnitude * 10 ** data.draw(st.floats(-14, 14)), value.units)
        for key, value in CUTS[name][1].items()
        if data.draw(st.booleans())
    }
    try:
        done = cut(name, **others)
    except ValueError:
        return
    assert math.isfinite(done.minutes)
    assert done.minutes > 0


@every_cut
@pytest.mark.parametrize("size", [0, -1, math.nan, math.inf])
def test_no_size_at_all_is_refused(name, size):
    for which, fair in CUTS[name][1].items():
        if which in ("approach", "overtravel", "return_time", "peck_time", "between_holes", "inner", "offset", "lead"):
            if size == 0:
                continue
        elif which in ("total_depth", "width", "cutter_width", "blade", "drilled") and size == 0:
            continue
        with pytest.raises(ValueError, match=r"^The .*\.$|^A pass of no depth"):
            cut(name, **{which: Q(size, fair.units)})


def test_a_length_is_no_speed_and_a_bare_number_no_length():
    with pytest.raises(ValueError, match="cutting speed must be a speed with its unit"):
        spindle_speed(mm(25), mm(50))
    with pytest.raises(ValueError, match="diameter must be a length with its unit"):
        spindle_speed(Q(25, "m/min"), 50)
    with pytest.raises(ValueError, match="feed must be a length for each turn"):
        turning(mm(50), mm(100), Q(0.2, "mm/min"), SetUp(spindle_speed=500))


@pytest.mark.parametrize(
    ("name", "others", "says"),
    [
        ("turning", {"total_depth": mm(26)}, "more than the radius of the work"),
        ("boring", {"total_depth": mm(13)}, "more than the radius of the bore"),
        ("peripheral_milling", {"depth_per_pass": mm(26), "total_depth": mm(26)}, "more than the radius of the cutter"),
        ("peripheral_milling", {"width": mm(41)}, "more than the width of the cutter"),
        ("face_milling", {"width": mm(64), "offset": mm(0)}, "more than the cutter's diameter"),
        ("face_milling", {"offset": mm(12)}, "does not cover the width"),
        ("facing", {"inner": mm(60)}, "not smaller than the outer"),
        ("parting", {"inner": mm(26)}, "not smaller than the outer"),
        ("drilling", {"peck": mm(0)}, "depth of a peck must be more than zero"),
        ("drilling", {"peck": mm(0.001)}, "more than 1000 pecks"),
        ("reaming", {"drilled": mm(8)}, "nothing to ream"),
        ("turning", {"depth_per_pass": mm(0.001)}, "more than 1000 passes"),
        ("turning", {"depth_per_pass": mm(0)}, "pass of no depth"),
        ("threading", {"depth_per_pass": mm(2.1)}, "more than the pitch"),
        ("threading", {"pitch": mm(17)}, "no core"),
        ("tapping", {"pitch": mm(5)}, "no core"),
        ("pocket_milling", {"stepover": mm(11)}, "wider than the cutter"),
        ("keyway", {"length": mm(5)}, "not shorter than the cutter"),
        ("sawing", {"rate": Q(0, "cm**2/min")}, "rate of the saw must be more than zero"),
    ],
)
def test_what_cannot_be_cut_is_refused_with_the_reason(name, others, says):
    with pytest.raises(ValueError, match=says):
        cut(name, **others)


@pytest.mark.parametrize("name", ["turning", "drilling", "face_milling", "shaping"])
def test_one_of_the_two_speeds_is_needed(name):
    with pytest.raises(ValueError, match="one of the two"):
        cut(name, cutting_speed=None)


def test_the_machine_runs_at_its_next_lower_step():
    steps = Machine(speeds=(60, 120, 250, 500))
    held = spindle_speed(Q(30, "m/min"), mm(30), steps)
    assert held.value.magnitude == 250
    assert held.working.steps[-1].result == 250
    assert held.remarks == ()


def test_a_machine_that_is_too_fast_says_by_how_much():
    held = spindle_speed(Q(10, "m/min"), mm(100), Machine(speeds=(60, 120)))
    assert held.value.magnitude == 60
    assert "too fast by 88.5 %" in held.remarks[0]
    assert "too fast by 88.5 %" in held.working.as_text()


@pytest.mark.parametrize(("speed", "turns"), [(100, 2000), (30, 954.93), (1, 100)])
def test_a_range_holds_the_speed_at_its_ends(speed, turns):
    held = spindle_speed(Q(speed, "m/min"), mm(10), Machine(speed_low=100, speed_high=2000))
    assert held.value.magnitude == pytest.approx(turns, rel=1e-5)


def test_rounding_does_not_cost_a_step():
    exact = math.pi * 50 * 300 / 1000
    for speed in (exact, exact * (1 - 1e-12)):
        assert spindle_speed(Q(speed, "m/min"), mm(50), Machine(speeds=(150, 300))).value.magnitude == 300


@pytest.mark.parametrize(
    "figures",
    [
        {"speeds": (0,)}, {"speeds": (math.nan,)}, {"speed_low": 100}, {"speed_low": 200, "speed_high": 100},
        {"speeds": (100,), "speed_low": 50, "speed_high": 100}, {"power_watts": 0},
    ],
)  # fmt: skip
def test_a_machine_that_cannot_be_is_refused(figures):
    with pytest.raises(ValueError, match=r"\.$"):
        Machine(**figures)


def test_passes_are_rounded_up_and_not_by_a_hairs_breadth():
    sizes = (mm(50), mm(10), mm(0.1), SetUp(spindle_speed=500))
    assert turning(*sizes, Depths(mm(2), mm(0.75))).passes == 3
    assert turning(*sizes, Depths(mm(0.3), mm(0.1))).passes == 3


def test_too_much_power_is_said():
    weak = cut("turning", machine=Machine(power_watts=50))
    assert weak.power.to("W").magnitude > 50
    assert any("the machine has 50 W" in remark for remark in weak.remarks)


def test_a_revolution_counts_as_one_turn():
    by_number = turning(mm(50), mm(100), mm(0.2), SetUp(spindle_speed=600))
    by_rpm = turning(mm(50), mm(100), Q(0.2, "mm/revolution"), SetUp(spindle_speed=Q(600, "rpm")))
    by_second = turning(mm(50), mm(100), mm(0.2), SetUp(spindle_speed=Q(10, "1/s")))
    assert by_number.minutes == pytest.approx(by_rpm.minutes, rel=1e-12)
    assert by_number.minutes == pytest.approx(by_second.minutes, rel=1e-12)


def test_a_spindle_that_cannot_follow_to_the_centre_goes_on_at_its_highest_speed():
    speed = Q(100, "m/min")

    def at_surface_speed(**machine):
        return facing(mm(60), mm(0.1), SetUp(speed, machine=Machine(**machine)), constant="surface speed")

    free, held = at_surface_speed(), at_surface_speed(speed_low=50, speed_high=1500)
    slow = facing(mm(60), mm(0.1), SetUp(spindle_speed=530.5))
    assert free.minutes < held.minutes < slow.minutes
    # Numerically: dr / (f·min(N(r), 1500)) over the radius.
    steps = 200_000
    radii = [30 * (k + 0.5) / steps for k in range(steps)]
    by_hand = sum(30 / steps / (0.1 * min(100_000 / (2 * math.pi * r), 1500)) for r in radii)
    assert held.minutes == pytest.approx(by_hand, rel=1e-5)
    # A spindle that cannot turn slowly enough at the outside is at its lowest speed there, and that is said.
    slow_end = at_surface_speed(speed_low=700, speed_high=1500)
    by_hand = sum(30 / steps / (0.1 * max(700, min(100_000 / (2 * math.pi * r), 1500))) for r in radii)
    assert slow_end.minutes == pytest.approx(by_hand, rel=1e-5)
    assert "too fast by 31.9 %" in slow_end.remarks[0]
    with pytest.raises(ValueError, match="speed steps"):
        at_surface_speed(speeds=(100, 200))


@settings(deadline=None, max_examples=50)
@given(width=st.floats(5, 60), offset=st.floats(0, 30), length=st.floats(10, 300))
def test_a_facing_cutter_has_passed_over_the_whole_face(width, offset, length):
    radius = 31.5
    if width / 2 + offset > radius:
        with pytest.raises(ValueError, match="does not cover"):
            face_milling(mm(63), 4, mm(0.1), mm(length), mm(width), SetUp(spindle_speed=100), offset=mm(offset))
        return
    done = face_milling(mm(63), 4, mm(0.1), mm(length), mm(width), SetUp(spindle_speed=100), offset=mm(offset))
    travel = done.minutes * 40
    # Where the axis stands at first touch, and when the leading edge has left the last corner.
    edges = [offset - width / 2 + width * k / 2000 for k in range(2001)]
    first = max(math.sqrt(max(0, radius**2 - y**2)) for y in edges)
    last = length - min(math.sqrt(max(0, radius**2 - y**2)) for y in edges)
    assert travel == pytest.approx(first + last, rel=1e-3)


def test_pecks_and_moves_between_holes_are_added():
    sizes = (mm(8), mm(30), mm(0.1), SetUp(spindle_speed=500))
    plain = drilling(*sizes, point_angle=None)
    pecked = drilling(*sizes, point_angle=None, peck=mm(10), peck_time=Q(6, "s"), holes=4, between_holes=Q(12, "s"))
    assert plain.minutes == pytest.approx(0.6, rel=1e-12)
    assert pecked.minutes == pytest.approx(4 * (0.6 + 2 * 0.1) + 3 * 0.2, rel=1e-12)


def test_a_thread_of_two_starts_moves_two_pitches_each_turn_and_is_cut_twice():
    one = cut("threading", return_time=None)
    two = cut("threading", return_time=None, starts=2)
    assert two.feed_rate.magnitude == pytest.approx(2 * one.feed_rate.magnitude, rel=1e-12)
    assert two.minutes == pytest.approx(one.minutes, rel=1e-12)
    assert cut("threading", starts=2).minutes == pytest.approx(one.minutes + 2 * 13 * 8 / 60, rel=1e-12)


def test_spring_and_spark_out_passes_come_on_top():
    assert cut("threading", spring_passes=3).passes == cut("threading").passes + 3
    assert cut("surface_grinding", spark_out=2).passes == 12


def test_work_wider_than_the_cutter_is_faced_in_paths_side_by_side():
    # 100 mm in paths of 40 mm: three, each with the lead-in of a strip of 40 mm under 63 mm.
    done = face_milling(
        mm(63), 4, mm(0.1), mm(200), mm(100), SetUp(spindle_speed=100), Depths(passes=2), stepover=mm(40)
    )
    lead = (63 - math.sqrt(63**2 - 40**2)) / 2
    assert done.passes == 6
    assert done.minutes == pytest.approx(6 * (200 + lead) / 40, rel=1e-9)


def test_a_strip_is_never_wider_than_the_work():
    # A path of 40 mm over work of 30 mm cuts 30 mm, and its lead-in is that of 30 mm.
    done = face_milling(mm(63), 4, mm(0.1), mm(200), mm(30), SetUp(spindle_speed=100), Depths(mm(1)), stepover=mm(40))
    lead = (63 - math.sqrt(63**2 - 30**2)) / 2
    assert done.passes == 1
    assert done.minutes == pytest.approx((200 + lead) / 40, rel=1e-9)
    assert done.removal_rate.to("mm³/min").magnitude == pytest.approx(30 * 1 * 40, rel=1e-9)


def test_a_keyway_is_measured_over_its_round_ends():
    # The axis goes 34 mm of 40; each of the three passes begins with a plunge of its depth at half the feed.
    set_up, depths = SetUp(spindle_speed=1000), Depths(depth_per_pass=mm(1))
    done = slot_milling(mm(6), 2, mm(0.05), mm(40), mm(3), set_up, depths, closed=True)
    assert done.minutes == pytest.approx(3 * (34 / 100 + 1 / 50), rel=1e-9)


def test_handling_stands_apart_from_cutting():
    # Half a minute of cutting, half as much again for handling it, and two minutes for each piece.
    done = turning(mm(50), mm(100), mm(0.2), SetUp(spindle_speed=1000))
    whole = with_handling(done, 1.5, Q(2, "min"))
    assert whole.minutes == pytest.approx(2.75, rel=1e-12)
    assert whole.working.steps[:-1] == done.working.steps
    assert whole.working.steps[-1].result == whole.time.magnitude
    with pytest.raises(ValueError, match="between 1 and 100"):
        with_handling(done, 0.5)


def test_a_reamer_runs_at_half_the_speed_of_a_drill_and_says_so():
    drill, reamer = (PROCESSES[one].cutting_speed("mild steel", "high-speed steel") for one in ("drilling", "reaming"))
    assert reamer.value.magnitude == pytest.approx(drill.value.magnitude / 2)
    assert "0.5 of the speed for drilling (common practice: half the drilling speed)" in reamer.words
    assert reamer.status == drill.status == "seen"


def test_a_share_of_a_speed_says_whose_practice_it_is():
    for process in PROCESSES.values():
        assert 0 < process.share <= 1
        assert process.why.startswith("common practice: ") == (process.share != 1)


def test_a_figure_that_a_process_has_no_place_for_is_no_figure_of_it():
    with pytest.raises(TypeError, match="stepover"):
        cut("turning", stepover=mm(3))
