"""Time where nothing turns at the work: sawing, shaping, and grinding a flat.

Sources: [1] sawing: time = section ÷ rate, the usual rating of saw blades. [2] shaping: strokes N = 1000·V ÷
(L·(1 + m)), m = time back ÷ time forward; cycles = width ÷ feed. [3] surface grinding: time = cross strokes × table
travel ÷ table speed, for each pass of depth and each pass without more depth.
"""

from __future__ import annotations

from dataclasses import replace

from calcs.cutting.passes import count_passes, travel_line
from calcs.cutting.power import NO_LOAD, Load, load_lines
from calcs.cutting.results import Cut, Machine, Result
from calcs.cutting.speeds import held_speed
from calcs.units.argument_checks import Quantity, amount, count, ratio, turns_a_minute
from calcs.units.figures import format_significant
from calcs.units.kinds import AREA, AREA_RATE, FEED, LENGTH, SPEED
from calcs.working.builder import WorkingBuilder


def sawing(section: Quantity, rate: Quantity, *, cuts: int = 1) -> Cut:
    """Return the time to saw through a section: area ÷ (area sawn in a time), for so many cuts. Formula [1].

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> sawing(Q(6, "in²"), Q(1.5, "in²/min"), cuts=2).minutes
    8.0
    """
    area, each = amount(section, AREA, "section"), amount(rate, AREA_RATE, "rate of the saw")
    number = count(cuts, "number of cuts")
    if area / each * number > 1e7:
        raise ValueError("That would take many years. Check the section and the rate of the saw.")
    sums = WorkingBuilder("Sawing", section)
    sums.given("A", "section sawn through", area, "area")
    sums.given("rate", "area sawn in a time", each, "area rate")
    per = "" if sums.inch else " ÷ 100"
    numbers = f"{sums.show(area, 'area')}{per} ÷ {sums.show(each, 'area rate')}"
    formula = f"A{per} ÷ rate"
    if number > 1:
        formula, numbers = f"cuts × {formula}", f"{number} × {numbers}"
    return Cut(sums.line("t", formula, numbers, number * area / each, "time"), sums.working())


def shaper_speed(strokes: float, stroke: Quantity, return_ratio: float = 2 / 3) -> Result:
    """Return the mean cutting speed of a shaper, V = N·L·(1 + m) ÷ 1000 (÷ 12 in feet). Formula [2].

    strokes: double strokes a minute; stroke: length; return_ratio m: time back ÷ time forward.

    >>> from calcs.units.registry import registry
    >>> round(shaper_speed(36, registry().Quantity(250, "mm")).value.magnitude, 9)
    15.0
    """
    number, long = turns_a_minute(strokes, "number of strokes"), amount(stroke, LENGTH, "stroke")
    back = ratio(return_ratio, "return ratio", 0.05, 2)
    sums = WorkingBuilder("Cutting speed of a shaper", stroke)
    per = 12 if sums.inch else 1000
    numbers = f"{format_significant(number)} × {sums.show(long, 'length')} × (1 + {back:.4g}) ÷ {per}"
    value = sums.line("V", f"N·L·(1 + m) ÷ {per}", numbers, number * long * (1 + back) / 1000, "speed")
    return Result(value, sums.working())


def shaping(
    stroke: Quantity,
    width: Quantity,
    feed: Quantity,
    *,
    cutting_speed: Quantity | None = None,
    strokes_per_minute: float | None = None,
    machine: Machine | None = None,
    return_ratio: float = 2 / 3,
    total_depth: Quantity | None = None,
    depth_per_pass: Quantity | None = None,
    passes: int | None = None,
    approach: Quantity | None = None,
    overtravel: Quantity | None = None,
    specific_energy: Quantity | None = None,
) -> Cut:
    """Return the time to shape a width: passes × (width ÷ feed) ÷ (double strokes a minute). Formula [2].

    stroke: length of cut, to which approach and over-travel are added; feed: for each double stroke; return_ratio:
    time back ÷ time forward. machine: its steps or range are double strokes a minute.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> cut = shaping(Q(250, "mm"), Q(120, "mm"), Q(0.5, "mm"), cutting_speed=Q(15, "m/min"))
    >>> round(cut.minutes, 3)
    6.667
    """
    if (cutting_speed is None) == (strokes_per_minute is None):
        raise ValueError("Give either the cutting speed or the strokes a minute, one of the two.")
    long, wide = amount(stroke, LENGTH, "stroke"), amount(width, LENGTH, "width")
    each, back = amount(feed, FEED, "feed"), ratio(return_ratio, "return ratio", 0.05, 2)
    sums = WorkingBuilder("Shaping", stroke)
    done = count_passes(sums, passes, total_depth, depth_per_pass)
    travel = travel_line(sums, long, approach, overtravel)
    speed, strokes, remarks = _strokes(sums, travel, back, cutting_speed, strokes_per_minute, machine)
    sizes = (done.depth, each, long)
    load = _shaper_load(sums, sizes, strokes, speed, specific_energy, machine) if done.depth else NO_LOAD
    cycles = max(1.0, wide / each)
    sums.line("cycles", "width ÷ feed", f"{sums.show(wide, 'length')} ÷ {sums.show(each, 'length')}", cycles, "number")
    numbers = f"{done.number} × {format_significant(cycles)} ÷ {format_significant(strokes)}"
    time = sums.line("t", "passes × cycles ÷ N", numbers, done.number * cycles / strokes, "time")
    return Cut(
        time,
        sums.working(),
        removal_rate=load.removal,
        power=load.power,
        passes=done.number,
        remarks=remarks + load.remarks,
    )


def surface_grinding(
    length: Quantity,
    width: Quantity,
    *,
    table_speed: Quantity,
    cross_feed: Quantity,
    total_depth: Quantity,
    depth_per_pass: Quantity,
    spark_out: int = 0,
    approach: Quantity | None = None,
    overtravel: Quantity | None = None,
    specific_energy: Quantity | None = None,
) -> Cut:
    """Return the time to grind a flat: passes × (width ÷ cross feed) × (travel ÷ table speed). Formula [3].

    cross_feed: for each single stroke of the table. depth_per_pass: downfeed of one pass over the whole face.
    spark_out: passes without more depth at the end. Approach and over-travel belong to each stroke.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> cut = surface_grinding(Q(180, "mm"), Q(50, "mm"), table_speed=Q(10, "m/min"), cross_feed=Q(2, "mm"),
    ...                        total_depth=Q(0.1, "mm"), depth_per_pass=Q(0.02, "mm"), overtravel=Q(20, "mm"))
    >>> round(cut.minutes, 9)
    2.5
    """
    long, wide = amount(length, LENGTH, "length"), amount(width, LENGTH, "width")
    speed, across = amount(table_speed, SPEED, "table speed"), amount(cross_feed, FEED, "cross feed")
    sums = WorkingBuilder("Grinding a flat", length)
    done = count_passes(sums, None, total_depth, depth_per_pass, extra=spark_out)
    travel = travel_line(sums, long, approach, overtravel)
    sums.given("V", "table speed", speed, "speed")
    rate, removal = _stroke_removal(sums, done.depth, across, speed, "Q")
    load = load_lines(sums, removal, rate, specific_energy)
    strokes = max(1.0, wide / across)
    numbers = f"{sums.show(wide, 'length')} ÷ {sums.show(across, 'length')}"
    sums.line("strokes", "width ÷ cross feed, one at least", numbers, strokes, "number")
    per = 12 if sums.inch else 1000
    numbers = f"{done.number} × {format_significant(strokes)} × {sums.show(travel, 'length')} ÷ ({per} × {sums.show(speed, 'speed')})"
    minutes = done.number * strokes * travel / (1000 * speed)
    time = sums.line("t", f"passes × strokes × travel ÷ ({per}·V)", numbers, minutes, "time")
    return Cut(time, sums.working(), removal_rate=load.removal, power=load.power, passes=done.number)


def _strokes(
    sums: WorkingBuilder,
    travel: float,
    back: float,
    cutting_speed: Quantity | None,
    strokes_per_minute: float | None,
    machine: Machine | None,
) -> tuple[float, float, tuple[str, ...]]:
    """Write down speed forward in m/min and double strokes a minute, held to what the machine has."""
    per = 12 if sums.inch else 1000
    sums.line("m", "time back ÷ time forward", "", back, "number")
    if cutting_speed is not None:
        speed = amount(cutting_speed, SPEED, "cutting speed")
        sums.given("V", "cutting speed", speed, "speed")
        wanted = 1000 * speed / (travel * (1 + back))
        numbers = f"{per} × {sums.show(speed, 'speed')} ÷ ({sums.show(travel, 'length')} × (1 + {back:.4g}))"
        sums.line("N", f"{per}·V ÷ (L·(1 + m))", numbers, wanted, "strokes")
    else:
        wanted = turns_a_minute(strokes_per_minute, "number of strokes")
        sums.given("N", "double strokes a minute", wanted, "strokes")
    held, words = held_speed(wanted, machine) if machine is not None else (wanted, "")
    if held == wanted:
        return wanted * travel * (1 + back) / 1000, wanted, ()
    sums.line("N held", words.replace("speed", "rate of strokes"), "", held, "strokes")
    too_fast = ("The machine's lowest rate of strokes is faster than the cutting speed asks for.",)
    return held * travel * (1 + back) / 1000, held, too_fast if held > wanted else ()


def _shaper_load(
    sums: WorkingBuilder,
    sizes: tuple[float, float, float],
    strokes: float,
    speed: float,
    specific_energy: Quantity | None,
    machine: Machine | None,
) -> Load:
    """Write down what is removed on the mean, and the power on the forward stroke, when the tool cuts."""
    deep, each, long = sizes
    numbers = " × ".join(sums.show(size, "length") for size in sizes)
    removal = sums.removal(
        "d·f·L·N", f"{numbers} × {format_significant(strokes)}", deep * each * long * strokes, "on the mean"
    )
    if specific_energy is None:
        return Load(removal)
    rate, forward = _stroke_removal(sums, deep, each, speed, "Q forward")
    return replace(load_lines(sums, forward, rate, specific_energy, None, machine), removal=removal)


def _stroke_removal(
    sums: WorkingBuilder, deep: float, each: float, speed: float, symbol: str
) -> tuple[float, Quantity]:
    """Write down what is removed while the stroke cuts, in mm³/min."""
    formula = "d·f·V"
    numbers = f"{sums.show(deep, 'length')} × {sums.show(each, 'length')} × {sums.show(speed, 'speed')}"
    if sums.inch:
        formula, numbers = f"12·{formula}", f"12 × {numbers}"
    rate = deep * each * speed * 1000
    return rate, sums.line(symbol, formula, numbers, rate, "removal")
