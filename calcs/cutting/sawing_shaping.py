"""Time where nothing turns at the work: sawing, shaping, and grinding a flat.

Sources: [1] sawing: time = section ÷ rate, the usual rating of saw blades. [2] shaping: strokes N = 1000·V ÷
(L·(1 + m)), m = time back ÷ time forward; cycles = width ÷ feed. [3] surface grinding: time = cross strokes × table
travel ÷ table speed, for each pass of depth and each pass that sparks out.
"""

from __future__ import annotations

from dataclasses import replace

from calcs.cutting.passes import count_passes, travel_line
from calcs.cutting.power import NO_LOAD, Load, make_cut, power_lines
from calcs.cutting.results import Cut
from calcs.cutting.set_up import NO_SET_UP, ONE_PASS, Depths, SetUp
from calcs.cutting.speeds import Held, Spin, hold, in_large
from calcs.messages import _, gettext_noop
from calcs.units.argument_checks import Quantity, amount, count, ratio, turns_a_minute
from calcs.units.kinds import AREA, AREA_RATE, FEED, LENGTH, SPEED
from calcs.working.builder import WorkingBuilder
from calcs.working.exactly_enough import format_in_full

_HELD_STROKES: dict[Held, str] = {
    "lowest": gettext_noop("the lowest rate of strokes that the machine has, too fast by {much} %"),
    "highest": gettext_noop("the highest rate of strokes that the machine has"),
    "next lower": gettext_noop("the next lower rate of strokes that the machine has"),
    "within reach": gettext_noop("the rate of strokes of the machine within 2 % of it"),
}


def sawing(section: Quantity, rate: Quantity, *, cuts: int = 1) -> Cut:
    """Return the time to saw through a section: area ÷ (area sawn in a time), for so many cuts. Formula [1].

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> sawing(Q(6, "in²"), Q(1.5, "in²/min"), cuts=2).minutes
    8.0
    """
    area, each = amount(section, AREA, _("section")), amount(rate, AREA_RATE, _("rate of the saw"))
    number = count(cuts, _("number of cuts"))
    if area / each * number > 1e7:
        raise ValueError(_("That would take many years. Check the section and the rate of the saw."))
    sums = WorkingBuilder(_("Sawing"), section)
    sums.given("A", _("section sawn through"), area, "area")
    sums.given(_("rate"), _("area sawn in a time"), each, "area rate")
    per = "" if sums.inch else " ÷ 100"
    formula = _("{area} ÷ rate", area=f"A{per}")
    numbers = f"{sums.show(area, 'area')}{per} ÷ {sums.show(each, 'area rate')}"
    if number > 1:
        formula, numbers = _("cuts × {time}", time=formula), f"{number} × {numbers}"
    return make_cut(sums, sums.line("t", formula, numbers, number * area / each, "time"))


def shaping(
    stroke: Quantity,
    width: Quantity,
    feed: Quantity,
    set_up: SetUp,
    depths: Depths = ONE_PASS,
    *,
    return_ratio: float = 2 / 3,
) -> Cut:
    """Return the time to shape a width: passes × (width ÷ feed) ÷ (double strokes a minute). Formula [2].

    stroke: length of cut, to which approach and over-travel are added; feed: for each double stroke; return_ratio:
    time back ÷ time forward. The spindle speed and the machine's speeds are double strokes a minute.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> cut = shaping(Q(250, "mm"), Q(120, "mm"), Q(0.5, "mm"), SetUp(Q(15, "m/min")))
    >>> round(cut.minutes, 3)
    6.667
    """
    if (set_up.cutting_speed is None) == (set_up.spindle_speed is None):
        raise ValueError(_("Give either the cutting speed or the strokes a minute, one of the two."))
    long, wide = amount(stroke, LENGTH, _("stroke")), amount(width, LENGTH, _("width"))
    each, back = amount(feed, FEED, _("feed")), ratio(return_ratio, _("return ratio"), 0.05, 2)
    sums = WorkingBuilder(_("Shaping"), stroke)
    done = count_passes(sums, depths)
    spun = _strokes(sums, set_up, travel_line(sums, set_up, long), back)
    load = _shaper_load(sums, set_up, (done.depth, each, long), spun) if done.depth else NO_LOAD
    cycles, strokes = max(1.0, wide / each), format_in_full(spun.turns)
    numbers = f"{sums.show(wide, 'length')} ÷ {sums.show(each, 'length')}"
    sums.line(_("cycles"), _("width ÷ feed"), numbers, cycles, "number")
    numbers = f"{done.number} × {format_in_full(cycles)} ÷ {strokes}"
    time = sums.line("t", _("passes × cycles ÷ N"), numbers, done.number * cycles / spun.turns, "time")
    return make_cut(sums, time, spun, load, done.number)


def surface_grinding(
    length: Quantity,
    width: Quantity,
    depths: Depths,
    set_up: SetUp = NO_SET_UP,
    *,
    table_speed: Quantity,
    cross_feed: Quantity,
    spark_out: int = 0,
) -> Cut:
    """Return the time to grind a flat: passes × (width ÷ cross feed) × (travel ÷ table speed). Formula [3].

    depths: of a pass, the downfeed over the whole face. cross_feed: for each single stroke of the table. spark_out:
    passes at the end without downfeed. Approach and over-travel belong to each stroke.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> cut = surface_grinding(Q(180, "mm"), Q(50, "mm"), Depths(Q(0.1, "mm"), Q(0.02, "mm")),
    ...                        SetUp(overtravel=Q(20, "mm")), table_speed=Q(10, "m/min"), cross_feed=Q(2, "mm"))
    >>> round(cut.minutes, 9)
    2.5
    """
    long, wide = amount(length, LENGTH, _("length")), amount(width, LENGTH, _("width"))
    speed, across = amount(table_speed, SPEED, _("table speed")), amount(cross_feed, FEED, _("cross feed"))
    sums = WorkingBuilder(_("Grinding a flat"), length)
    done = count_passes(sums, depths, spark_out, _("with the spark-out passes"))
    travel = travel_line(sums, set_up, long)
    sums.given("V", _("table speed"), speed, "speed")
    load = _stroke_load(sums, set_up, "Q", done.depth, across, speed)
    strokes, per = max(1.0, wide / across), in_large(sums)
    numbers = f"{sums.show(wide, 'length')} ÷ {sums.show(across, 'length')}"
    sums.line(_("strokes"), _("width ÷ cross feed, one at least"), numbers, strokes, "number")
    numbers = f"{done.number} × {format_in_full(strokes)} × {sums.show(travel, 'length')}"
    numbers += f" ÷ ({per} × {sums.show(speed, 'speed')})"
    minutes = done.number * strokes * travel / (1000 * speed)
    time = sums.line("t", _("passes × strokes × travel ÷ ({per}·V)", per=per), numbers, minutes, "time")
    return make_cut(sums, time, load=load, passes=done.number)


def _strokes(sums: WorkingBuilder, set_up: SetUp, travel: float, back: float) -> Spin:
    """Write down double strokes a minute, held to what the machine has; the speed is that of the forward stroke."""
    sums.line("m", _("time back ÷ time forward"), "", back, "number")
    if set_up.cutting_speed is not None:
        speed, per = amount(set_up.cutting_speed, SPEED, _("cutting speed")), in_large(sums)
        sums.given("V", _("cutting speed"), speed, "speed")
        wanted = 1000 * speed / (travel * (1 + back))
        numbers = f"{per} × {sums.show(speed, 'speed')} ÷ ({sums.show(travel, 'length')} × (1 + {back:.4g}))"
        value = sums.line("N", f"{per}·V ÷ (L·(1 + m))", numbers, wanted, "strokes")
    else:
        wanted = turns_a_minute(set_up.spindle_speed, _("number of strokes"))
        sums.given("N", _("double strokes a minute"), wanted, "strokes")
        value = sums.quantity(wanted, "strokes")
    held, value, much = hold(sums, wanted, value, set_up.machine, _HELD_STROKES, "strokes")
    too_fast = _("The machine's lowest rate of strokes is faster than the cutting speed asks for.")
    return Spin(held, held * travel * (1 + back) / 1000, remarks=(too_fast,) if much else ())


def _shaper_load(sums: WorkingBuilder, set_up: SetUp, sizes: tuple[float, float, float], spun: Spin) -> Load:
    """Write down what is removed on the mean, and the power on the forward stroke, when the tool cuts."""
    deep, each, long = sizes
    numbers = " × ".join([*(sums.show(size, "length") for size in sizes), format_in_full(spun.turns)])
    removal = sums.removal("d·f·L·N", numbers, deep * each * long * spun.turns, _("on the mean"))
    if set_up.specific_energy is None:
        return Load(removal)
    return replace(_stroke_load(sums, set_up, _("Q forward"), deep, each, spun.speed), removal=removal)


def _stroke_load(sums: WorkingBuilder, set_up: SetUp, symbol: str, deep: float, each: float, speed: float) -> Load:
    """Write down what is removed while the stroke cuts, and the power that it takes."""
    numbers = f"{sums.show(deep, 'length')} × {sums.show(each, 'length')} × {sums.show(speed, 'speed')}"
    per = ("12·", "12 × ") if sums.inch else ("", "")
    rate = deep * each * speed * 1000
    removal = sums.line(symbol, f"{per[0]}d·f·V", f"{per[1]}{numbers}", rate, "removal")
    return power_lines(sums, set_up, removal, rate)
