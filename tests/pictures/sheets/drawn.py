"""Three of the launch engine's sheets, with the sizes that the demonstration's parts have."""

from math import cos, pi, sin

from tests.pictures.sheets.office import SCALE, THIN, DrawingSheet, Title

INCH = SCALE


def bottom_cover() -> DrawingSheet:
    """L-03: the bottom cover cut through its axis, and from below."""
    sheet = DrawingSheet(
        Title("L-03", "D", "Cylinder block and covers", "203 Bottom cover, 2 off", "Cast iron, continuous bar")
    )
    x, y = 62.0, 128.0
    half = {
        "spigot": 0.5 * INCH,
        "flange": 0.84 * INCH,
        "boss": 0.32 * INCH,
        "box": 0.15625 * INCH,
        "rod": 0.09375 * INCH,
    }
    steps = [x, x + 0.125 * INCH, x + 0.3125 * INCH, x + 0.875 * INCH]
    for sign in (1, -1):
        sheet.cut(
            (steps[0], y + sign * half["rod"]), (steps[0], y + sign * half["spigot"]),
            (steps[1], y + sign * half["spigot"]), (steps[1], y + sign * half["flange"]),
            (steps[2], y + sign * half["flange"]), (steps[2], y + sign * half["boss"]),
            (steps[3], y + sign * half["boss"]), (steps[3], y + sign * half["box"]),
            (steps[1] + 4, y + sign * half["box"]), (steps[1] + 4, y + sign * half["rod"]),
        )  # fmt: skip
    for at, far in ((steps[0], half["rod"]), (steps[1] + 4, half["box"]), (steps[3], half["box"])):
        sheet.edge((at, y - far), (at, y + far))
    sheet.centre((x - 8, y), (steps[3] + 10, y))
    sheet.size((steps[0], y - half["spigot"]), (steps[0], y + half["spigot"]), 9, "⌀ 1.000 −.0005 −.001")
    sheet.size((steps[0], y - half["flange"]), (steps[0], y + half["flange"]), 19, "⌀ 1-11/16")
    sheet.size((steps[3], y + half["box"]), (steps[3], y - half["box"]), 10, "⌀ 5/16")
    sheet.size((steps[3], y + half["boss"]), (steps[3], y - half["boss"]), 20, "⌀ 5/8")
    sheet.size((steps[0], y + half["flange"]), (steps[1], y + half["flange"]), 8, "1/8")
    sheet.size((steps[0], y + half["flange"]), (steps[3], y + half["flange"]), 17, "7/8")
    sheet.leader((x + 3, y - half["rod"]), (x + 18, y - 54), "ream 3/16")
    _cover_from_below(sheet, 205.0, y)
    return sheet


def _cover_from_below(sheet: DrawingSheet, x: float, y: float) -> None:
    sheet.circle((x, y), 1.6875 * INCH)
    for diameter in (0.625, 0.3125, 0.1875):
        sheet.circle((x, y), diameter * INCH)
    sheet.circle((x, y), 1.375 * INCH, width=THIN, style=(0, (12, 3, 1.5, 3)))
    for number in range(8):
        turn = pi / 8 + pi * number / 4
        sheet.circle((x + 0.6875 * INCH * cos(turn), y + 0.6875 * INCH * sin(turn)), 0.126 * INCH)
    for sign in (1, -1):
        sheet.circle((x, y + sign * 0.235 * INCH), 0.08 * INCH)
        sheet.circle((x, y + sign * 0.235 * INCH), 0.1 * INCH, width=THIN)
    sheet.edge((x - 9, y - 38.6), (x - 9, y - 27), (x + 9, y - 27), (x + 9, y - 38.6))
    sheet.centre((x - 50, y), (x + 50, y))
    sheet.centre((x, y - 50), (x, y + 50))
    sheet.leader((x + 0.6875 * INCH * cos(pi / 8), y + 15), (x + 40, y + 40), "8 × drill 3.2")
    sheet.leader((x - 0.6875 * INCH * cos(pi / 4), y + 0.6875 * INCH * sin(pi / 4)), (x - 40, y + 52), "⌀ 1-3/8")
    sheet.leader((x, y + 0.235 * INCH), (x + 44, y + 56), "2 × M2.5, 3/16 deep")
    sheet.leader((x - 9, y - 33), (x - 40, y - 48), "flat for guide bar, in line with the gland studs")


def piston_and_rings() -> DrawingSheet:
    """L-04: the piston cut through its axis, a ring, and the rod."""
    sheet = DrawingSheet(Title("L-04", "B", "Pistons, rods and rings", "211, 212, 213", "Iron; stainless steel 303"))
    _piston(sheet, 66.0, 138.0)
    _ring(sheet, 190.0, 140.0)
    _rod(sheet, 54.0, 66.0)
    return sheet


def _piston(sheet: DrawingSheet, x: float, y: float) -> None:
    half, bottom, rod, groove = 0.499 * INCH, 0.455 * INCH, 0.0787 * INCH, 0.0625 * INCH
    starts = [x + (0.125 + 0.1575 * number) * INCH for number in range(3)]
    end = x + 0.625 * INCH
    for sign in (1, -1):
        rim = [(x, y + sign * rod), (x, y + sign * half)]
        for start in starts:
            rim += [(start, y + sign * half), (start, y + sign * bottom)]
            rim += [(start + groove, y + sign * bottom), (start + groove, y + sign * half)]
        sheet.cut(*rim, (end, y + sign * half), (end, y + sign * rod))
        for start in starts:
            sheet.edge((start, y), (start, y + sign * bottom), width=0)
        sheet.edge((x, y + sign * (rod + 0.9)), (end, y + sign * (rod + 0.9)), width=THIN)
    sheet.edge((x, y - rod), (x, y + rod))
    sheet.edge((end, y - rod), (end, y + rod))
    sheet.centre((x - 8, y), (end + 10, y))
    sheet.size((x, y - half), (x, y + half), 12, "⌀ .998 +0 −.001")
    sheet.size((x, y + half), (end, y + half), 18, "5/8")
    sheet.size((starts[0], y + half), (starts[0] + groove, y + half), 8, "3 × .0625 +.001 −0")
    sheet.leader((end - 4, y + rod), (end + 16, y + 20), "M4")
    sheet.leader((starts[2] + 1.6, y - bottom), (end + 14, y - 30), "⌀ .910")
    sheet.note((x - 8, y - 38), "211 piston, 2 off", 8)


def _ring(sheet: DrawingSheet, x: float, y: float) -> None:
    sheet.circle((x, y), 1.0 * INCH)
    sheet.circle((x, y), 0.92 * INCH)
    sheet.edge((x - 0.6, y + 23.3), (x - 0.6, y + 25.5), width=3)
    sheet.centre((x - 32, y), (x + 32, y))
    sheet.centre((x, y - 32), (x, y + 32))
    for place in (x + 52, x + 52 + 0.062 * INCH):
        sheet.edge((place, y - 25.4), (place, y + 25.4))
    sheet.edge((x + 52, y + 25.4), (x + 52 + 0.062 * INCH, y + 25.4))
    sheet.edge((x + 52, y - 25.4), (x + 52 + 0.062 * INCH, y - 25.4))
    sheet.size((x + 52, y + 25.4), (x + 52 + 0.062 * INCH, y + 25.4), 7, ".062 +0 −.0005")
    sheet.leader((x - 18, y + 18), (x - 34, y + 38), "⌀ 1.000, turned before the cut")
    sheet.leader((x + 16.5, y - 16.5), (x + 30, y - 36), "⌀ .920")
    sheet.leader((x - 0.6, y + 25), (x + 14, y + 46), "gap .004 +.002 −0 in the bore")
    sheet.note((x - 26, y - 44), "212 piston ring, 6 off and 2 spare", 8)


def _rod(sheet: DrawingSheet, x: float, y: float) -> None:
    half, thread = 0.09375 * INCH, 0.0787 * INCH
    ends = [x, x + 0.5 * INCH, x + 3.0 * INCH, x + 3.5 * INCH]
    sheet.closed((ends[1], y - half), (ends[1], y + half), (ends[2], y + half), (ends[2], y - half))
    for first, last in ((ends[0], ends[1]), (ends[2], ends[3])):
        sheet.closed((first, y - thread), (first, y + thread), (last, y + thread), (last, y - thread))
        for sign in (1, -1):
            sheet.edge((first, y + sign * (thread - 0.9)), (last, y + sign * (thread - 0.9)), width=THIN)
    sheet.centre((x - 6, y), (ends[3] + 6, y))
    sheet.size((ends[0], y + half), (ends[3], y + half), 15, "3-1/2")
    sheet.size((ends[0], y + half), (ends[1], y + half), 7, "1/2")
    sheet.size((ends[2], y + half), (ends[3], y + half), 7, "1/2")
    sheet.leader((x + 90, y + half), (x + 96, y - 16), "⌀ 3/16 h7, ground")
    sheet.leader((x + 12, y - thread), (x + 18, y - 16), "M4 both ends")
    sheet.note((x + 40, y - 26), "213 piston rod, 2 off", 8)


def slide_valve() -> DrawingSheet:
    """L-05: the slide valve from its face, from the side and cut through its cavity."""
    sheet = DrawingSheet(Title("L-05", "B", "Slide valves and chests", "223 Slide valve, 2 off", "Phosphor bronze PB1"))
    wide, long, high = 0.75 * INCH, 0.875 * INCH, 0.375 * INCH
    x, y = 66.0, 118.0
    sheet.closed((x, y), (x + long, y), (x + long, y + wide), (x, y + wide))
    cavity = [(x + 0.25 * INCH, y + 0.125 * INCH), (x + 0.625 * INCH, y + 0.125 * INCH)]
    sheet.closed(*cavity, (cavity[1][0], y + 0.625 * INCH), (cavity[0][0], y + 0.625 * INCH))
    for near in (x + long / 2 - 3.175, x + long / 2 + 3.175):
        sheet.hidden((near, y), (near, y + wide))
    sheet.centre((x - 6, y + wide / 2), (x + long + 6, y + wide / 2))
    sheet.centre((x + long / 2, y - 6), (x + long / 2, y + wide + 6))
    sheet.size((x, y + wide), (x + long, y + wide), 16, "7/8")
    sheet.size((x + 0.25 * INCH, y + wide), (x + 0.625 * INCH, y + wide), 7, "3/8")
    sheet.size((x, y), (x, y + wide), 16, "3/4")
    sheet.size((x, y + 0.125 * INCH), (x, y + 0.625 * INCH), 7, "1/2")
    sheet.note((x + long / 2, y - 12), "face, lapped to the port face", 8, "center")
    _valve_cut(sheet, x, 62.0, long, high)
    _valve_end(sheet, 175.0, y, wide, high)
    return sheet


def _valve_cut(sheet: DrawingSheet, x: float, y: float, long: float, high: float) -> None:
    slot, deep = 3.175, 0.1875 * INCH
    left, right = x + 0.25 * INCH, x + 0.625 * INCH
    middle = x + long / 2
    sheet.cut(
        (x, y), (left, y), (left, y + 0.156 * INCH), (right, y + 0.156 * INCH), (right, y), (x + long, y),
        (x + long, y + high), (middle + slot, y + high), (middle + slot, y + high - deep + 2),
        (middle - slot, y + high - deep + 2), (middle - slot, y + high), (x, y + high),
    )  # fmt: skip
    sheet.edge((left, y), (right, y), width=THIN)
    sheet.centre((middle, y - 5), (middle, y + high + 5))
    sheet.size((x + long, y), (x + long, y + high), -9, "3/8")
    sheet.size((left, y), (left, y + 0.156 * INCH), 20, "5/32")
    sheet.size((middle - slot, y + high), (middle + slot, y + high), 6, "1/8 +.003 −0")


def _valve_end(sheet: DrawingSheet, x: float, y: float, wide: float, high: float) -> None:
    sheet.closed((x, y), (x + high, y), (x + high, y + wide), (x, y + wide))
    for at in (y + 0.125 * INCH, y + 0.625 * INCH):
        sheet.hidden((x, at), (x + 0.156 * INCH, at))
    sheet.hidden((x + 0.156 * INCH, y + 0.125 * INCH), (x + 0.156 * INCH, y + 0.625 * INCH))
    sheet.hidden((x + high - 7.5, y), (x + high - 7.5, y + wide))
    sheet.centre((x - 6, y + wide / 2), (x + high + 6, y + wide / 2))
    sheet.leader((x + 4, y + wide), (x + 26, y + wide + 16), "lap 1/16, lead .010 at both ends")
    sheet.leader((x, y + 8), (x - 12, y - 14), "flat within .0002")
