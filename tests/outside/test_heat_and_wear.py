"""A ring shrunk on and the life of a tool, against worked examples and a second way of reckoning."""

import pytest

from calcs.shop.shrinking import METALS, shrink_fit
from calcs.shop.tool_life import life_at, speed_for_life
from calcs.units.registry import registry

Q = registry().Quantity


def test_a_steel_ring_done_by_hand():
    # 0.2 mm of growth on 100 mm is 2000 millionths; at 12 millionths for each °C it is 166.7 °C, on top of 20 °C.
    found = shrink_fit(Q(100, "mm"), Q(100.1, "mm"), Q(0.1, "mm"))
    assert (found.rise, found.heat) == pytest.approx((2000 / 12, 20 + 2000 / 12))


def test_a_thousandth_of_interference_of_steel():
    # The old rule of wheelwrights' and railway tyres, one in a thousand, is about 83 °C of steel; from memory.
    assert shrink_fit(Q(1, "m"), Q(1001, "mm"), Q(0, "mm")).rise == pytest.approx(83, abs=0.5)


@pytest.mark.parametrize("metal", METALS)
def test_so_hot_the_bore_is_the_shaft_and_the_clearance(metal):
    found = shrink_fit(Q(0.75, "in"), Q(0.751, "in"), Q(0.5, "thou"), metal, room=15)
    grown = 0.75 * (1 + METALS[metal].expansion / 1e6 * (found.heat - 15))
    assert grown == pytest.approx(0.751 + 0.0005, abs=1e-9)


# Usual ranges of printed tables, in millionths for each °C near the heat of a room; from memory.
RANGES = {
    "steel": (11, 13),
    "hardened steel": (11, 13.5),
    "stainless steel": (16, 18),
    "cast iron": (10, 12),
    "brass": (18, 21),
    "bronze": (17, 19),
    "aluminium alloy": (22, 24.5),
}


@pytest.mark.parametrize("metal", METALS)
def test_expansions_lie_where_printed_tables_have_them(metal):
    low, high = RANGES[metal]
    assert low <= METALS[metal].expansion <= high


def test_what_softens_is_said_and_what_cannot_be_is_refused():
    soft = shrink_fit(Q(20, "mm"), Q(20.05, "mm"), Q(0.05, "mm"), "hardened steel")
    assert any("may soften" in one for one in soft.remarks)
    assert "Hot metal looks like cold metal" in soft.remarks[0]
    for shaft, reason in (("20 mm", "not larger"), ("25 mm", "more than 1000")):
        with pytest.raises(ValueError, match=reason):
            shrink_fit(Q(20, "mm"), Q(shaft), Q(0.02, "mm"))
    with pytest.raises(ValueError, match="one of steel"):
        shrink_fit(Q(20, "mm"), Q(20.02, "mm"), Q(0.02, "mm"), "lead")


def test_the_constants_of_a_textbook_are_kept():
    # Groover, Fundamentals of Modern Manufacturing, worked example on the tool life equation, from memory: 5 min at
    # 160 m/min and 41 min at 100 m/min give n = 0.223 and C = 229 m/min, the speed of a life of one minute.
    assert life_at(Q(160, "m/min"), Q(5, "min"), Q(100, "m/min"), 0.223).life == pytest.approx(41, abs=0.2)
    assert speed_for_life(Q(160, "m/min"), Q(5, "min"), Q(1, "min"), 0.223).speed == pytest.approx(229, abs=0.5)


def test_half_the_speed_lasts_four_times_with_n_of_a_half():
    # Kalpakjian, Manufacturing Engineering and Technology, worked example with n = 0.5, from memory: 300 % more.
    assert life_at(Q(40, "m/min"), Q(15, "min"), Q(20, "m/min"), 0.5).life == pytest.approx(60)


@pytest.mark.parametrize("n", [0.1, 0.125, 0.25, 0.6])
def test_speed_and_life_undo_each_other(n):
    other = life_at(Q(100, "ft/min"), Q(45, "min"), Q(85, "ft/min"), n)
    back = speed_for_life(Q(100, "ft/min"), Q(45, "min"), other.value, n)
    assert back.value.to("ft/min").magnitude == pytest.approx(85)


def test_a_speed_too_far_off_is_refused_and_one_far_off_remarked():
    assert life_at(Q(30, "m/min"), Q(60, "min"), Q(70, "m/min"), 0.25).remarks
    assert not life_at(Q(30, "m/min"), Q(60, "min"), Q(40, "m/min"), 0.25).remarks
    with pytest.raises(ValueError, match="too far from the known speed"):
        life_at(Q(30, "m/min"), Q(60, "min"), Q(5, "m/min"), 0.125)
    with pytest.raises(ValueError, match="n must lie between"):
        life_at(Q(30, "m/min"), Q(60, "min"), Q(25, "m/min"), 0)
