"""Cutting sums against worked examples and formulas that others have published."""

import math

import pytest

from calcs.cutting import (
    Depths,
    SetUp,
    drilling,
    face_milling,
    facing,
    parting,
    peripheral_milling,
    sawing,
    shaping,
    spindle_speed,
    surface_grinding,
    tapping,
    theoretical_finish,
    threading,
    turning,
)
from calcs.shop.reference_tables import specific_energies
from calcs.shop.stock import tube
from calcs.units.registry import registry

Q = registry().Quantity


def mm(size):
    return Q(size, "mm")


def inch(size):
    return Q(size, "inch")


def m_min(speed):
    return Q(speed, "m/min")


def ft_min(speed):
    return Q(speed, "ft/min")


def at(turns):
    return SetUp(spindle_speed=turns)


def cutting_speed(diameter, turns):
    """The speed at the circumference, as a cut says it."""
    return turning(diameter, mm(10), mm(0.1), at(turns)).cutting_speed


def feed_rate(feed, turns, teeth=None):
    """The rate of feed of a drill, or of a cutter with teeth, as a cut says it."""
    if teeth is None:
        return drilling(mm(10), mm(10), feed, at(turns)).feed_rate
    return face_milling(mm(20), teeth, feed, mm(10), mm(10), at(turns)).feed_rate


def removal_rate(speed, feed, depth):
    """What turning removes in a time, as a cut says it; the speed is the one in the middle of the cut."""
    middle = 10 * depth
    turns = (speed / (math.pi * middle)).to("1/min").magnitude
    return turning(middle + depth, middle, feed, at(turns), Depths(depth)).removal_rate


def rpm(result):
    return result.value.to("rpm").magnitude


def rpm_of(cut):
    return cut.spindle_speed.to("rpm").magnitude


def seconds(cut):
    return cut.time.to("second").magnitude


def step(cut, symbol):
    return next(one for one in cut.working.steps if one.symbol == symbol)


def test_turning_formulas():
    # From memory: 50 mm at 700 rev/min; 120 mm/min at 500; 100 mm at 0.2 and 1000; f²/(8·r) for 0.2 and 0.8.
    assert round(cutting_speed(mm(50), 700).to("m/min").magnitude) == 110
    assert feed_rate(mm(0.24), 500).to("mm/min").magnitude == pytest.approx(120, rel=1e-12)
    assert turning(mm(50), mm(100), mm(0.2), at(1000)).minutes == pytest.approx(0.5, rel=1e-12)
    assert theoretical_finish(mm(0.2), mm(0.8)).value.to("µm").magnitude == pytest.approx(6.25, rel=1e-12)


def test_a_printed_cutting_speed_that_was_cut_short_is_not_copied():
    # From memory: a printed table has 117 for 150 mm at 250.
    speed = cutting_speed(mm(150), 250).to("m/min").magnitude
    assert speed == pytest.approx(117.8, abs=0.1)
    assert round(speed) != 117


def test_milling_feeds():
    # From memory: 500 mm/min, 10 teeth, 500 rev/min; a face mill of 200 mm over 300 mm of work.
    assert feed_rate(mm(0.1), 500, teeth=10).to("mm/min").magnitude == pytest.approx(500, rel=1e-12)
    # The cutter runs clear at both ends: its whole diameter is added to the work.
    clear = SetUp(spindle_speed=200, overtravel=mm(100))
    cut = face_milling(mm(200), 16, mm(0.25), mm(300), mm(200), clear)
    assert cut.feed_rate.to("mm/min").magnitude == pytest.approx(800, rel=1e-12)
    assert cut.minutes == pytest.approx(0.625, rel=1e-12)


def test_drill_penetration_and_one_hole():
    # From memory: 0.2 mm at 1350; 15 mm, 30 deep at 50 m/min and 0.15 (no point allowance).
    assert feed_rate(mm(0.2), 1350).to("mm/min").magnitude == pytest.approx(270, rel=1e-12)
    cut = drilling(mm(15), mm(30), mm(0.15), SetUp(m_min(50)), point_angle=None)
    assert round(rpm_of(cut)) == 1061
    assert seconds(cut) == pytest.approx(11.3, abs=0.1)


def test_power_of_turning_at_a_given_efficiency():
    # From memory: 3 mm, 0.2, 120 m/min in the middle of the cut, 3100 MPa: 4.65 kW at the motor of a drive of 0.8.
    set_up = SetUp(spindle_speed=120_000 / (math.pi * 100), specific_energy=Q(3100, "MPa"))
    cut = turning(mm(103), mm(50), mm(0.2), set_up, Depths(mm(3)))
    assert cut.power.to("kW").magnitude / 0.8 == pytest.approx(4.65, rel=1e-9)
    assert removal_rate(m_min(120), mm(0.2), mm(3)).to("cm**3/min").magnitude == pytest.approx(72, rel=1e-12)
    assert cut.removal_rate.to("cm**3/min").magnitude == pytest.approx(72, rel=1e-12)
    # A milling example beside it: 80 m/min at 250 mm, printed with pi as 3.14.
    assert rpm(spindle_speed(m_min(80), mm(250))) == pytest.approx(101.91, rel=6e-4)
    assert rpm(spindle_speed(m_min(80), mm(250))) == pytest.approx(101.86, abs=0.005)


def test_a_whole_turning_example_with_power_torque_and_force():
    # Kalpakjian & Schmid, Manufacturing Engineering and Technology, ch. 23, turning example: 12.5 to 12.0 mm.
    set_up = SetUp(spindle_speed=400, specific_energy=Q(4, "W*s/mm^3"))
    cut = turning(mm(12.5), mm(150), mm(0.5), set_up, Depths(mm(0.25)))
    assert cut.cutting_speed.to("m/min").magnitude == pytest.approx(15.7, abs=0.1)
    assert cutting_speed(mm(12), 400).to("m/min").magnitude == pytest.approx(15.1, abs=0.1)
    assert cut.feed_rate.to("mm/min").magnitude == pytest.approx(200, rel=1e-12)
    assert cut.removal_rate.to("mm**3/min").magnitude == pytest.approx(1924, abs=1)
    assert cut.minutes == pytest.approx(0.75, rel=1e-12)
    assert cut.power.to("W").magnitude == pytest.approx(128, abs=1)
    assert cut.torque.to("N*m").magnitude == pytest.approx(3.06, abs=0.01)
    mean_speed = cutting_speed(mm(12.25), 400)
    assert (cut.power / mean_speed).to("N").magnitude == pytest.approx(500, abs=1)


def test_an_old_handbooks_spindle_speed():
    # Franklin D. Jones, Turning and Boring, Industrial Press, p. 40.
    assert round(rpm(spindle_speed(ft_min(60), inch(5)))) == 46


def test_facing_a_hollow_blank():
    # From memory, an exercise after Kalpakjian & Schmid; the integral for a constant surface speed is theirs.
    cut = facing(mm(60), mm(0.7), at(600), inner=mm(30))
    assert seconds(cut) == pytest.approx(2.1, abs=0.1)
    assert seconds(cut) == pytest.approx(15 / (0.7 * 600) * 60, rel=1e-9)
    for turns, outside, inside in ((600, 113.1, 56.55), (1500, 282.74, 141.37)):
        assert cutting_speed(mm(60), turns).to("m/min").magnitude == pytest.approx(outside, abs=0.05)
        assert cutting_speed(mm(30), turns).to("m/min").magnitude == pytest.approx(inside, abs=0.05)
    steady = facing(mm(60), mm(0.7), SetUp(m_min(85)), inner=mm(30), constant="surface speed")
    assert seconds(steady) == pytest.approx(2.138, abs=0.01)


@pytest.mark.parametrize(("across", "feed", "speed"), [(60, 0.1, 85), (12.7, 0.05, 20), (300, 0.4, 200)])
def test_facing_to_the_centre_at_one_spindle_speed_takes_twice_as_long(across, feed, speed):
    # Common practice: it follows from the integral with no inner diameter.
    constant = facing(mm(across), mm(feed), SetUp(m_min(speed)))
    steady = facing(mm(across), mm(feed), SetUp(m_min(speed)), constant="surface speed")
    assert constant.minutes / steady.minutes == pytest.approx(2, rel=1e-9)


def test_milling_spindle_speed_and_table_speed():
    # From memory, an exercise after Kalpakjian & Schmid.
    assert round(rpm(spindle_speed(m_min(145), mm(120)))) == 385
    assert feed_rate(mm(0.18), 385, teeth=6).to("mm/min").magnitude == pytest.approx(415.8, abs=0.1)


def test_slab_milling_with_its_approach_and_as_much_over_travel():
    # GATE ME 2019 set 1, question 15: 14 mm and 21.4 s is one of the options.
    set_up = SetUp(spindle_speed=1200, overtravel=mm(14))
    cut = peripheral_milling(mm(100), 20, mm(0.05), mm(400), set_up, Depths(mm(2)))
    assert step(cut, "lead-in").result == pytest.approx(14, rel=1e-12)
    assert seconds(cut) == pytest.approx(21.4, abs=0.1)


def test_face_milling_a_block_narrower_than_the_cutter():
    # Groover, Fundamentals of Modern Manufacturing, ch. 22, problem on face milling.
    cut = face_milling(inch(3), 5, inch(0.006), inch(12), inch(2), SetUp(ft_min(250)), Depths(inch(0.15)))
    assert rpm_of(cut) == pytest.approx(318.3, abs=0.05)
    assert cut.feed_rate.to("inch/min").magnitude == pytest.approx(9.549, abs=0.001)
    assert cut.minutes == pytest.approx(1.30, abs=0.01)
    assert cut.removal_rate.to("inch**3/min").magnitude == pytest.approx(2.865, abs=0.001)
    assert step(cut, "lead-in").result == pytest.approx(0.382, abs=5e-4)
    assert step(cut, "lead-in").unit == "in"


@pytest.mark.parametrize(
    ("length", "cutter", "speed", "feed", "depth", "turns", "rate", "lead", "minutes", "removal"),
    [
        # Groover, Fundamentals of Modern Manufacturing, ch. 22, problems on slab milling.
        (400, 70, 60, 0.25, 6.5, 272.8, 341.0, 20.32, 1.232, 110_840),
        (650, 60, 55, 0.30, 9, 291.8, 437.7, 21.42, 1.534, 196_954),
    ],
)
def test_slab_milling_as_in_a_textbook(length, cutter, speed, feed, depth, turns, rate, lead, minutes, removal):
    sizes = (mm(cutter), 5, mm(feed), mm(length))
    cut = peripheral_milling(*sizes, SetUp(m_min(speed)), Depths(mm(depth)), width=mm(50))
    assert rpm_of(cut) == pytest.approx(turns, rel=1e-3)
    assert cut.feed_rate.to("mm/min").magnitude == pytest.approx(rate, rel=1e-3)
    assert step(cut, "lead-in").result == pytest.approx(lead, rel=1e-3)
    assert cut.minutes == pytest.approx(minutes, rel=1e-3)
    assert cut.removal_rate.to("mm**3/min").magnitude == pytest.approx(removal, rel=1e-3)


def test_removal_rates():
    # Groover, Introduction to Manufacturing Processes, problem 15.3(c).
    assert removal_rate(Q(1.8, "m/s"), mm(0.3), mm(2.6)).to("mm**3/s").magnitude == pytest.approx(1404, rel=1e-9)
    # Common practice: Q = 12·V·f·d in inches.
    inches = removal_rate(ft_min(350), inch(0.016), inch(0.1))
    assert inches.to("inch**3/min").magnitude == pytest.approx(6.72, rel=1e-9)


def test_the_speed_that_makes_a_pass_take_five_minutes():
    # Groover, Fundamentals of Modern Manufacturing, ch. 22: 125.7 m/min, 2.094 m/s.
    for speed in (m_min(125.7), Q(2.094, "m/s")):
        assert turning(mm(150), mm(400), mm(0.3), SetUp(speed)).minutes == pytest.approx(5, rel=5e-4)


def test_a_tutorial_sheets_answers():
    # From memory: question 2, answers 5, 6 and 8 of a tutorial sheet.
    assert turning(mm(50), mm(500), mm(0.7), SetUp(m_min(30))).minutes == pytest.approx(3.74, abs=0.01)
    assert cutting_speed(mm(35), 200).to("m/min").magnitude == pytest.approx(22, abs=0.05)
    # The sheet has 50.29, with pi as 22/7.
    assert cutting_speed(mm(32), 500).to("m/min").magnitude == pytest.approx(50.29, rel=6e-4)
    through = drilling(mm(12), mm(55), mm(0.05), SetUp(m_min(20)), point_angle=None)
    assert seconds(through) == pytest.approx(124, abs=1)


def test_a_drills_rate_of_feed_is_not_the_printed_slip():
    # From memory, the same sheet's answer 9: 371.4 rev/min is right, the 111.36 mm/min beside it is not.
    turns = rpm(spindle_speed(m_min(35), mm(30)))
    assert turns == pytest.approx(371.4, abs=0.05)
    rate = feed_rate(mm(0.3), turns).to("mm/min").magnitude
    assert rate == pytest.approx(111.4, abs=0.03)
    assert abs(rate - 111.36) > 0.03


def test_end_mills():
    # From memory: a table for 25 m/min and 12 mm, with pi as 3.14.
    turns = rpm(spindle_speed(m_min(25), mm(12)))
    assert turns == pytest.approx(663, abs=1)
    for teeth, each, rate in ((2, 0.065, 86), (3, 0.065, 129), (4, 0.06, 159)):
        assert feed_rate(mm(each), turns, teeth).to("mm/min").magnitude == pytest.approx(rate, abs=0.6)


@pytest.mark.parametrize(
    ("speed", "across", "by_rule", "exactly"),
    [
        # Common practice: 4·V ÷ D.
        (300, 0.5, 2400, 2292),
        (120, 1, 480, 458),
        (80, 0.5, 640, 611),
    ],
)
def test_the_shop_rule_with_four_is_near_but_not_what_is_reckoned(speed, across, by_rule, exactly):
    turns = rpm(spindle_speed(ft_min(speed), inch(across)))
    assert round(turns) == exactly
    assert by_rule / turns == pytest.approx(4 / 3.8197, rel=1e-4)


def test_inch_constants():
    # Common practice: 3.820, 0.262, and 1/TPI for a thread's feed.
    assert rpm(spindle_speed(ft_min(1), inch(1))) == pytest.approx(3.8197, abs=5e-5)
    assert cutting_speed(inch(1), 1).to("ft/min").magnitude == pytest.approx(0.2618, abs=5e-5)
    thread = threading(inch(1), inch(1 / 20), inch(2), at(100), Depths(passes=1))
    assert thread.feed_rate.to("inch/min").magnitude / 100 == pytest.approx(0.05, rel=1e-12)
    # Time in seconds = 60·length·passes/(feed·rpm).
    cut = turning(inch(1), inch(2), inch(0.01), at(300), Depths(passes=3))
    assert seconds(cut) == pytest.approx(60 * 2 * 3 / (0.01 * 300), rel=1e-9)


def test_a_turning_pass_with_approach_and_over_travel():
    # IIT Kharagpur (NPTEL), Manufacturing Science, module 4 lesson 25: formula seen, numbers from memory.
    set_up = SetUp(m_min(120), approach=mm(5), overtravel=mm(5))
    assert turning(mm(100), mm(200), mm(0.2), set_up).minutes == pytest.approx(2.75, abs=0.01)


def test_drilling_through_with_the_point():
    # Common practice for the formula; the figures, and approach and over-travel of 2 mm, from memory.
    set_up = SetUp(m_min(44), approach=mm(2), overtravel=mm(2))
    cut = drilling(mm(25), mm(60), mm(0.25), set_up, point_angle=120)
    assert step(cut, "point").result == pytest.approx(7.22, abs=0.005)
    assert cut.minutes == pytest.approx(0.508, abs=0.001)


def test_the_point_of_a_common_drill():
    # ½·D·tan(90° − 59°); common practice has 0.3·D or 0.29·D as a rule of thumb.
    cut = drilling(mm(1), mm(2), mm(0.02), at(1000))
    assert step(cut, "point").result == pytest.approx(0.3004, abs=1e-4)


def test_shaping():
    # From memory: 36 double strokes of 250 mm are 15 m/min; 120 mm at 0.5 take 6.667 min.
    cut = shaping(mm(250), mm(120), mm(0.5), SetUp(m_min(15)))
    assert step(cut, "N").result == pytest.approx(36, rel=1e-9)
    assert cut.minutes == pytest.approx(6.667, abs=5e-4)
    assert step(cut, "cycles").result == pytest.approx(240)
    # From memory: C = 3/5 of the time forwards makes V = N·L/600.
    by_rule = shaping(mm(250), mm(120), mm(0.5), SetUp(m_min(36 * 250 / 600)))
    assert step(by_rule, "N").result == pytest.approx(36, rel=1e-9)


def test_tapping_moves_a_pitch_each_turn():
    # Common practice: the feed is the pitch, in and out again.
    cut = tapping(mm(6), mm(1), mm(20), at(200))
    assert cut.feed_rate.to("mm/min").magnitude == pytest.approx(200, rel=1e-12)
    assert step(cut, "t in").result * 60 == pytest.approx(6.0, rel=1e-9)
    assert seconds(cut) == pytest.approx(12.0, rel=1e-9)


def test_sawing_a_tube():
    # From memory: 4 in outside, 3 in inside, 5.5 in², 1.38 in average width; at 2 in² a minute that takes 2.75 min.
    section = tube(inch(4), inner=inch(3))
    area = section.area.to("inch**2").magnitude
    assert area == pytest.approx(5.5, rel=5e-3)
    assert area / 4 == pytest.approx(1.38, rel=5e-3)
    assert sawing(section.area, Q(2, "inch**2/min")).minutes == pytest.approx(2.75, rel=5e-3)


def test_specific_energies_are_the_published_ones():
    # Kalpakjian & Schmid, Manufacturing Engineering and Technology, W·s/mm³, as transcribed in course notes.
    expected = {
        "aluminium alloy": 0.7, "cast iron": 3, "copper alloy": 2, "high-temperature alloy": 5, "magnesium alloy": 0.5,
        "nickel alloy": 5.4, "refractory alloy": 6, "stainless steel": 4, "steel": 4.5, "titanium": 5,
    }  # fmt: skip
    assert {name: row.usual for name, row in specific_energies().items()} == expected


@pytest.mark.parametrize(("inches", "metric"), [(0.63, 1.72), (1.00, 2.73)])
def test_power_constants_in_both_systems(inches, metric):
    # Machinery's Handbook, 31st ed., p. 1147 table 1b: hp·min/in³ and kW·s/cm³.
    set_up = SetUp(spindle_speed=300, specific_energy=Q(inches, "hp*min/inch**3"))
    cut = turning(inch(1), inch(2), inch(0.01), set_up, Depths(inch(0.05)))
    assert (cut.power / cut.removal_rate).to("hp*min/inch**3").magnitude == pytest.approx(inches, rel=1e-9)
    assert (cut.power / cut.removal_rate).to("kW*s/cm**3").magnitude == pytest.approx(metric, abs=0.005)


def test_parting_to_the_centre_is_facing_to_the_centre():
    # Common practice: the same travel, the radius. 10 mm at 20 mm/min.
    assert parting(mm(20), mm(0.05), at(400)).minutes == pytest.approx(0.5, rel=1e-12)


def test_surface_grinding_counts_strokes_and_passes():
    # Common practice: ten passes and two sparking out, of 20 strokes of 200 mm at 8 m/min: 48 m.
    cut = surface_grinding(
        mm(160), mm(40), Depths(mm(0.2), mm(0.02)), SetUp(approach=mm(20), overtravel=mm(20)),
        table_speed=m_min(8), cross_feed=mm(2), spark_out=2,
    )  # fmt: skip
    assert cut.minutes == pytest.approx(6, rel=1e-12)
    assert cut.passes == 12
