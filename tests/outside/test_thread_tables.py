"""Every series of threads against the diameters that its standard prints, names as they are written, and wires."""

import pytest

from calcs.shop.clearance_holes import clearance_holes
from calcs.shop.drills import drills
from calcs.shop.over_wires import best_wire, over_wires
from calcs.shop.reference_tables import thread_rows
from calcs.shop.thread_names import of_another_form
from calcs.shop.threads import find_thread, sizes_of
from calcs.units.registry import registry

Q = registry().Quantity

# name, pitch diameter, minor diameter. ISO 724, mm, from memory.
METRIC = """
M1 0.838 0.729|M1.2 1.038 0.929|M1.4 1.205 1.075|M1.8 1.573 1.421|M2.2 1.908 1.713|M3.5 3.110 2.850|M4.5 4.013 3.688
M7 6.350 5.917|M9 8.188 7.647|M12 10.863 10.106|M14 12.701 11.835|M16 14.701 13.835|M18 16.376 15.294
M20 18.376 17.294|M22 20.376 19.294|M24 22.051 20.752|M27 25.051 23.752|M30 27.727 26.211|M33 30.727 29.211
M36 33.402 31.670|M3x0.35 2.773 2.621|M4x0.5 3.675 3.459|M5x0.5 4.675 4.459|M6x0.75 5.513 5.188|M8x1 7.350 6.917
M8x0.75 7.513 7.188|M10x1.25 9.188 8.647|M10x1 9.350 8.917|M12x1.5 11.026 10.376|M12x1.25 11.188 10.647
M12x1 11.350 10.917|M14x1.25 13.188 12.647|M16x1.5 15.026 14.376|M16x1 15.350 14.917|M18x1.5 17.026 16.376
M20x1.5 19.026 18.376|M20x2 18.701 17.835|M24x2 22.701 21.835|M30x2 28.701 27.835|M36x3 34.051 32.752
"""
# name, pitch diameter, minor diameter. BS 84, inches, from memory.
WHITWORTH = """
1/8 BSW .1090 .0930|3/16 BSW .1608 .1341|1/4 BSW .2180 .1860|5/16 BSW .2769 .2413|3/8 BSW .3350 .2950
7/16 BSW .3918 .3461|1/2 BSW .4466 .3932|5/8 BSW .5668 .5086|3/4 BSW .6860 .6220|7/8 BSW .8039 .7328
1 BSW .9200 .8400|1/4 BSF .2254 .2008|5/16 BSF .2834 .2543|3/8 BSF .3430 .3110|7/16 BSF .4019 .3663
1/2 BSF .4600 .4200|5/8 BSF .5793 .5336|3/4 BSF .6966 .6432|1 BSF .9360 .8720
"""
# name, pitch diameter, minor diameter. ISO 228-1, mm, from memory.
PIPE = """
G1/16 7.142 6.561|G1/8 9.147 8.566|G1/4 12.301 11.445|G3/8 15.806 14.950|G1/2 19.793 18.631|G5/8 21.749 20.587
G3/4 25.279 24.117|G7/8 29.039 27.877|G1 31.770 30.291
"""
# name, pitch diameter. ASME B1.1, inches, from memory.
UNIFIED = """
0-80 .0519|1-64 .0629|1-72 .0640|2-56 .0744|2-64 .0759|3-48 .0855|3-56 .0874|4-40 .0958|4-48 .0985|5-40 .1088
5-44 .1102|6-32 .1177|6-40 .1218|8-32 .1437|8-36 .1460|10-24 .1629|10-32 .1697|12-24 .1889|12-28 .1928|1/4-20 .2175
1/4-28 .2268|5/16-18 .2764|5/16-24 .2854|3/8-16 .3344|3/8-24 .3479|7/16-14 .3911|7/16-20 .4050|1/2-13 .4500
1/2-20 .4675|9/16-12 .5084|9/16-18 .5264|5/8-11 .5660|5/8-18 .5889|3/4-10 .6850|3/4-16 .7094|7/8-9 .8028
7/8-14 .8286|1-8 .9188|1-12 .9459
"""
# name, core. BS 93, mm, from memory.
BA = """
0BA 4.80|1BA 4.22|2BA 3.73|3BA 3.22|4BA 2.81|5BA 2.49|6BA 2.16|7BA 1.92|8BA 1.68|9BA 1.43|10BA 1.28|11BA 1.13
12BA 0.96|13BA 0.90|14BA 0.72|15BA 0.65|16BA 0.56
"""


def rows_of(table, columns):
    for entry in table.strip().replace("\n", "|").split("|"):
        words = entry.split(" ")
        yield " ".join(words[:-columns]), [float(word) for word in words[-columns:]]


@pytest.mark.parametrize(("table", "unit", "close"), [(METRIC, "mm", 6e-4), (PIPE, "mm", 1.1e-3)])
def test_pitch_and_minor_diameters_are_as_the_standard_prints_them(table, unit, close):
    for name, (middle, minor) in rows_of(table, 2):
        sizes = sizes_of(find_thread(name))
        assert sizes.pitch_diameter.to(unit).magnitude == pytest.approx(middle, abs=close), name
        assert sizes.minor.to(unit).magnitude == pytest.approx(minor, abs=close), name


def test_whitworth_diameters_are_as_the_standard_prints_them_from_a_depth_of_four_places():
    for name, (middle, minor) in rows_of(WHITWORTH, 2):
        row = find_thread(name)
        sizes, across = sizes_of(row), float(row.major) / 25.4
        depth = sizes.height.to("inch").magnitude
        assert [round(across - times * round(depth, 4), 4) for times in (1, 2)] == [middle, minor], name
        assert sizes.pitch_diameter.to("inch").magnitude == pytest.approx(across - depth, rel=1e-9), name
        assert sizes.minor.to("inch").magnitude == pytest.approx(across - 2 * depth, rel=1e-9), name


def test_pitch_diameters_of_every_unified_thread_are_as_the_standard_prints_them():
    named = {name for name, _ in rows_of(UNIFIED, 1)}
    assert named == {row.name for row in thread_rows().values() if row.series in ("UNC", "UNF")}
    for name, (middle,) in rows_of(UNIFIED, 1):
        assert sizes_of(find_thread(name)).pitch_diameter.to("inch").magnitude == pytest.approx(middle, abs=6e-5), name


def test_cores_of_every_ba_thread_are_as_the_standard_prints_them():
    assert {name for name, _ in rows_of(BA, 1)} == {row.name for row in thread_rows().values() if row.series == "BA"}
    for name, (core,) in rows_of(BA, 1):
        assert sizes_of(find_thread(name)).minor.to("mm").magnitude == pytest.approx(core, abs=0.0051), name


@pytest.mark.parametrize(
    ("written", "name", "series"),
    [
        ("#4-40", "4-40", "UNC"), ("No. 4 - 40 UNC", "4-40", "UNC"), ("1-72", "1-72", "UNF"), ("1-8", "1-8", "UNC"),
        ("1/4 x 40 ME", "1/4-40", "Model Engineer"), ("1/4 × 40 M.E.", "1/4-40", "Model Engineer"),
        ("3/16 x 40", "3/16-40", "Model Engineer"), ("1/8 x 40", "1/8-40", "Model Engineer"),
        ("1/4in x 40 tpi", "1/4-40", "Model Engineer"), ("2BA", "2BA", "BA"), ("2 B.A.", "2BA", "BA"),
        ("no 8 ba", "8BA", "BA"), ("M6x0.75", "M6x0.75", "metric fine"), ("M6 × 0,75", "M6x0.75", "metric fine"),
        ("m 6", "M6", "metric coarse"), ("M6x1", "M6", "metric coarse"), ("M10x1.25", "M10x1.25", "metric fine"),
        ('1/4" BSP', "G1/4", "BSP"), ("G 1/8", "G1/8", "BSP"), ("3/8 Whit.", "3/8 BSW", "BSW"),
        ("1/4-20 BSW", "1/4 BSW", "BSW"), ("1/4 BSF", "1/4 BSF", "BSF"), ("1/4 x 26", "1/4-26", "brass"),
        ("1/4 UNC", "1/4-20", "UNC"), (".25-28", "1/4-28", "UNF"), ("7/16-20", "7/16-20", "UNF"),
        ("M5x0.75", "M5x0.75", "metric, as written"),
    ],
)  # fmt: skip
def test_a_thread_is_found_however_it_is_written(written, name, series):
    # Common practice: spellings as they stand on drawings.
    row = find_thread(written)
    assert (row.name, row.series) == (name, series)


@pytest.mark.parametrize(("written", "names"), [("#4", "4-40, 4-48"), ("M12 fine", "M12x1.5, M12x1.25, M12x1")])
def test_a_name_that_can_be_several_threads_is_asked_about(written, names):
    with pytest.raises(ValueError, match=f"can be {names}. Write the one that you mean."):
        find_thread(written)


@pytest.mark.parametrize("written", ["#1-8", "3/8-32 UNEF", "17BA", "1/0-4", "M6x5", "M6x0", "1/4-19", "", "thread"])
def test_what_is_no_thread_of_the_tables_is_refused(written):
    with pytest.raises(ValueError, match="is not in the tables"):
        find_thread(written)


def test_the_thread_of_the_same_pitch_with_other_flanks_is_known():
    assert [row.name for row in of_another_form(find_thread("1/4-20"))] == ["1/4 BSW"]
    assert of_another_form(find_thread("1/2-13")) == ()


@pytest.mark.parametrize(
    ("name", "holes"),
    [
        # ISO 273, from memory.
        ("M3", (3.2, 3.4, 3.6)), ("M5", (5.3, 5.5, 5.8)), ("M8x1", (8.4, 9, 10)), ("M20", (21, 22, 24)),
        # ASME B18.2.8, from memory, in inches.
        ("4-40", (0.120 * 25.4, 0.128 * 25.4, 0.144 * 25.4)), ("1/4-28", (0.266 * 25.4, 0.281 * 25.4, 0.297 * 25.4)),
    ],
)  # fmt: skip
def test_clearance_holes_are_those_of_the_standard(name, holes):
    found = clearance_holes(find_thread(name))
    assert (found.close, found.medium, found.free) == pytest.approx(holes, abs=1e-9)


def test_every_clearance_hole_is_larger_than_its_screw_and_rises():
    for row in thread_rows().values():
        holes = clearance_holes(row)
        assert float(row.major) < holes.close <= holes.medium <= holes.free, row.name
        if holes.status == "own":
            assert {holes.close, holes.medium, holes.free} <= {float(drill.mm) for drill in drills()}, row.name


@pytest.mark.parametrize(
    ("name", "wire", "times", "less"),
    [
        # Machinery's Handbook, measuring screw threads by three wires, from memory: W = 0.57735·P and
        # M = E + 3·W − 0.86603·P at 60°; 0.56369·P, 3.16568 and 0.96049 at 55°; 0.54626·P, 3.48294, 1.13634 at 47½°.
        ("M10", 0.57735, 3, 0.866025),
        ("1/2-13", 0.57735, 3, 0.866025),
        ("1/4 BSW", 0.563691, 3.165681, 0.960491),
        ("2BA", 0.546260, 3.482938, 1.136336),
    ],
)
def test_over_three_wires_as_the_handbook_gives_it(name, wire, times, less):
    row = find_thread(name)
    sizes, pitch = sizes_of(row), float(row.pitch)
    best = best_wire(sizes.pitch, row.angle).value.to("mm").magnitude
    assert best == pytest.approx(wire * pitch, rel=2e-5)
    expected = sizes.pitch_diameter.to("mm").magnitude + times * best - less * pitch
    assert over_wires(sizes, row.angle).value.to("mm").magnitude == pytest.approx(expected, rel=1e-5)


def test_a_wire_that_cannot_touch_the_flanks_is_refused():
    sizes = sizes_of(find_thread("M10"))
    with pytest.raises(ValueError, match="too thin"):
        over_wires(sizes, 60, Q(0.7, "mm"))
    with pytest.raises(ValueError, match="too thick"):
        over_wires(sizes, 60, Q(1.6, "mm"))
    assert over_wires(sizes, 60, Q(0.9, "mm")).value.magnitude == pytest.approx(9.026 + 2.7 - 1.299, abs=1e-3)
