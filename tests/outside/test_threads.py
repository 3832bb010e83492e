"""Threads and tapping drills against published tables."""

import pytest

from calcs.shop.drills import drills, nearest_drill
from calcs.shop.reference_tables import thread_rows
from calcs.shop.threads import (
    find_thread,
    iso_thread,
    percent_of_thread,
    sizes_of,
    tapping_drill,
)
from calcs.typed.lengths_sizes import BA_DIAMETERS, LETTER_DRILLS, NUMBER_DRILLS
from calcs.units.registry import registry

Q = registry().Quantity


def test_m10_in_detail():
    # ISO 68-1: H = √3/2·P.
    sizes = iso_thread(Q(10, "mm"), Q(1.5, "mm"))
    high = sizes.height.to("mm").magnitude
    assert high == pytest.approx(1.299038, abs=5e-7)
    assert high / 4 == pytest.approx(0.324760, abs=5e-7)
    assert high / 8 == pytest.approx(0.162380, abs=5e-7)


@pytest.mark.parametrize(("major", "pitch"), [(3, 0.5), (6, 1), (10, 1.5), (20, 2.5)])
def test_a_drill_of_diameter_less_pitch_leaves_the_same_share_of_every_thread(major, pitch):
    # 100·P/(1.299038·P) = 76.98 %, the constant of the drill charts (Machinery's Handbook, 31st ed., p. 2155, table 2).
    left = percent_of_thread(Q(major, "mm"), Q(pitch, "mm"), Q(major - pitch, "mm"))
    assert left.value.magnitude == pytest.approx(76.98, abs=0.005)


@pytest.mark.parametrize(
    ("name", "tpi", "major", "drill", "decimal", "percent"),
    [
        # Machinery's Handbook, 31st ed., p. 2155, table 2 (2-56); the others from memory of common tap drill charts
        # and from ibls.org.
        ("2-56", 56, 0.0860, "#50", 0.0700, 69.0),
        ("4-40", 40, 0.1120, "#43", 0.0890, 70.8),
        ("6-32", 32, 0.1380, "#36", 0.1065, 77.6),
        ("8-32", 32, 0.1640, "#29", 0.1360, 69.0),
        ("10-24", 24, 0.1900, "#25", 0.1495, 74.8),
        ("10-32", 32, 0.1900, "#21", 0.1590, 76.4),
        ("1/4-20", 20, 0.2500, "#7", 0.2010, 75.4),
        ("1/4-28", 28, 0.2500, "#3", 0.2130, 79.8),
        ("5/16-18", 18, 0.3125, "F", 0.2570, 76.9),
        ("3/8-16", 16, 0.3750, "5/16", 0.3125, 77.0),
        ("1/2-13", 13, 0.5000, "27/64", 0.4219, 78.2),
    ],
)
def test_unified_threads_and_their_drills(name, tpi, major, drill, decimal, percent):
    row = find_thread(name)
    assert float(row.major) / 25.4 == pytest.approx(major, rel=1e-12)
    assert 25.4 / float(row.pitch) == pytest.approx(tpi, rel=1e-12)
    assert row.drill_name == drill
    assert row.drill / 25.4 == pytest.approx(decimal, abs=5e-5)
    left = percent_of_thread(Q(major, "inch"), Q(1 / tpi, "inch"), Q(row.drill, "mm")).value.magnitude
    assert left == pytest.approx(percent, abs=0.06)
    back = tapping_drill(Q(major, "inch"), Q(1 / tpi, "inch"), left).value.to("mm").magnitude
    assert back == pytest.approx(row.drill, rel=1e-9)


@pytest.mark.parametrize(("number", "size"), [(0, 0.060), (2, 0.086), (4, 0.112), (5, 0.125), (10, 0.190)])
def test_numbered_sizes_follow_their_rule(number, size):
    # Diameter = 0.060 + 0.013·n in: Coventry 1954, as given at ibls.org.
    row = next(row for row in thread_rows().values() if row.name.startswith(f"{number}-"))
    assert float(row.major) / 25.4 == pytest.approx(size, rel=1e-12)
    assert float(row.major) / 25.4 == pytest.approx(0.060 + 0.013 * number, rel=1e-12)


@pytest.mark.parametrize(
    ("number", "pitch", "law", "across", "inches", "drill"),
    [
        # BS 93 and the law of the thread, as in Wikipedia, "British Association screw threads"; drills: ibls.org.
        (0, 1.00, 1.0, 6.0, 0.2362, "#10"),
        (1, 0.90, 0.9, 5.3, 0.2087, "#17"),
        (2, 0.81, 0.81, 4.7, 0.1850, "#24"),
        (3, 0.73, 0.729, 4.1, 0.1614, "#29"),
        (4, 0.66, 0.6561, 3.6, 0.1417, "#32"),
        (5, 0.59, 0.5905, 3.2, 0.1260, "#37"),
        (6, 0.53, 0.5314, 2.8, 0.1102, "#43"),
        (7, 0.48, 0.4783, 2.5, 0.0984, "#46"),
        (8, 0.43, 0.4305, 2.2, 0.0866, "#50"),
        (9, 0.39, 0.3874, 1.9, 0.0748, "#53"),
        (10, 0.35, 0.3487, 1.7, 0.0669, "#55"),
        (12, 0.28, 0.2824, 1.3, 0.0512, "#60"),
    ],
)
def test_ba_threads(number, pitch, law, across, inches, drill):
    row = find_thread(f"{number}BA")
    assert (float(row.pitch), float(row.major), row.drill_name) == (pitch, across, drill)
    assert row.major == BA_DIAMETERS[number]
    assert float(row.major) / 25.4 == pytest.approx(inches, abs=6e-5)
    sizes = sizes_of(row)
    # The law is p = 0.9^n, D = 6·p^1.2, depth 0.6·p (British Association 1884, from memory); the table rounds p to two
    # places and differs by up to 0.05 mm from the diameter.
    assert sizes.pitch.to("mm").magnitude == pytest.approx(law, abs=0.0051)
    assert sizes.major.to("mm").magnitude == pytest.approx(6 * law**1.2, abs=0.05)
    assert sizes.minor.to("mm").magnitude == pytest.approx(6 * law**1.2 - 1.2 * law, abs=0.06)


@pytest.mark.parametrize(
    ("name", "depth", "core", "drill", "decimal"),
    [
        # ibls.org, Threads; depth 0.6403/TPI from memory.
        ("5/32-40", 0.0160, 0.1242, "#30", 0.1285),
        ("3/16-40", 0.0160, 0.1555, "5/32", 0.1562),
        ("7/32-40", 0.0160, 0.1867, "3/16", 0.1875),
        ("1/4-40", 0.0160, 0.2180, "7/32", 0.2188),
        ("5/16-32", 0.0200, 0.2725, "J", 0.2770),
        ("3/8-40", 0.0160, 0.3430, "11/32", 0.3438),
    ],
)
def test_model_engineer_threads(name, depth, core, drill, decimal):
    row = find_thread(name)
    sizes = sizes_of(row)
    assert sizes.height.to("inch").magnitude == pytest.approx(depth, abs=6e-5)
    assert sizes.minor.to("inch").magnitude == pytest.approx(core, abs=6e-5)
    assert row.drill_name == drill
    assert row.drill / 25.4 == pytest.approx(decimal, abs=6e-5)


def test_no_drill_smaller_than_the_core_is_named_for_three_eighths_by_32():
    # ibls.org prints Q (.3320), which is smaller than the core of .3350.
    row = find_thread("3/8-32")
    assert row.drill is None
    core = sizes_of(row).minor.to("inch").magnitude
    assert core == pytest.approx(0.3350, abs=6e-5)
    assert float(LETTER_DRILLS["q"]) / 25.4 < core


def test_a_drill_smaller_than_the_core_is_warned_of():
    # The Q drill (.3320) printed at ibls.org for 3/8-32; the 7/32 drill of 1/4-40 is fine.
    too_small = percent_of_thread(Q(0.375, "inch"), Q(1 / 32, "inch"), Q(0.332, "inch"), form="whitworth")
    assert too_small.value.magnitude > 100
    assert "smaller than the core" in too_small.remarks[0]
    fair = percent_of_thread(Q(0.25, "inch"), Q(1 / 40, "inch"), Q(7 / 32, "inch"), form="whitworth")
    assert fair.remarks == ()


def test_every_tapping_drill_lies_between_core_and_thread_and_names_a_drill_of_that_size():
    by_name = {drill.name: float(drill.mm) for drill in drills()}
    for row in thread_rows().values():
        if row.drill is None:
            continue
        assert sizes_of(row).minor.to("mm").magnitude * 0.999 < row.drill < float(row.major), row.name
        name = row.drill_name if row.drill_name in by_name else f"{row.drill_name} in"
        assert by_name[name] == pytest.approx(row.drill, abs=1e-9), row.name


def test_the_nearest_drill_is_the_one_in_the_table():
    assert nearest_drill(Q(0.201, "inch")).nearest.mm == NUMBER_DRILLS[7]
    found = nearest_drill(Q(6.75, "mm"), ("metric",))
    assert (found.below.name, found.above.name) == ("6.7 mm", "6.8 mm")
