"""The engine from the side, as far as it has grown: what stands is drawn solid, what is to come in dashes.

One inch of the model is `INCH` pixels. Its sizes are those of the demonstration's parts.
"""

from tests.pictures.scenes.ink import BENCH, METALS, block, box, circle, line, outline, turned

INCH = 74.0
LEFT = 260.0
FLOOR = BENCH - 74
DASHES = "12 7"

BED = FLOOR - 0.5 * INCH
TOP = BED - 4.5 * INCH
SHAFT = BED - 1.15 * INCH


def at(inches: float) -> float:
    """Where so many inches from the left end of the bed are."""
    return LEFT + inches * INCH


def bed(feet: bool = True) -> str:
    """The bed plate on its feet, with the pits for the cranks open below."""
    drawn = box(at(0), BED, 7.25 * INCH, 0.5 * INCH, METALS["steel"])
    drawn += "".join(line(at(0), BED + step, at(7.25), BED + step, 0.8) for step in (24, 30, 35))
    for place in (0.5, 6.75, 3.6) if feet else ():
        drawn += box(at(place) - 40, FLOOR - 2, 80, 14, METALS["steel"], 2)
    for place in (0.5, 6.75):
        drawn += block(at(place) - 60, BENCH, 120, BENCH - FLOOR - 12, 10, "wood")
    return drawn


def columns(made: bool = True) -> str:
    """Three of the six columns; the other three stand behind them."""
    drawn = ""
    for place in (0.6, 3.6, 6.6):
        if not made:
            drawn += box(at(place) - 13, TOP, 26, BED - TOP, dash=DASHES)
            continue
        length = BED - TOP
        steps = [(18, 40), (length - 36, 26), (18, 40)]
        drawn += turned(at(place), BED, steps, "steel", upright=True)
        drawn += box(at(place) - 18, TOP - 16, 36, 16, METALS["steel"])
    return drawn


def shaft() -> str:
    """The crankshaft in its three bearings, one crank up and one towards us, and the keyed end for the flywheel."""
    drawn = turned(at(-0.35), SHAFT, [(8.6 * INCH, 0.44 * INCH)], "steel")
    for place, up in ((2.1, True), (5.1, False)):
        drawn += _crank(at(place), up)
    for place in (0.6, 3.6, 6.6):
        drawn += _bearing(at(place))
    return drawn


def _crank(x: float, up: bool) -> str:
    web = METALS["steel"]
    throw = 0.62 * INCH if up else 0
    high, low = (SHAFT - throw - 32, SHAFT + 34) if up else (SHAFT - 36, SHAFT + 36)
    drawn = box(x - 50, SHAFT - 22, 100, 44, "#f4efe3", 0)
    drawn += turned(x - 30, SHAFT - throw, [(60, 36)], "steel")
    for side in (-50, 26):
        drawn += box(x + side, high, 24, low - high, web)
        drawn += "".join(line(x + side + step, high, x + side + step, low, 0.8) for step in (15, 19, 22))
    return drawn


def _bearing(x: float) -> str:
    steel, bronze = METALS["steel"], METALS["bronze"]
    cap = [(x - 42, SHAFT), (x - 42, SHAFT - 26), (x - 26, SHAFT - 42), (x + 26, SHAFT - 42), (x + 42, SHAFT - 26)]
    drawn = box(x - 42, SHAFT, 84, BED - SHAFT, steel) + outline([*cap, (x + 42, SHAFT)], steel)
    drawn += box(x - 52, SHAFT - 15, 104, 30, bronze, 1.6) + line(x - 52, SHAFT, x + 52, SHAFT, 1.2)
    return drawn + turned(x, SHAFT - 42, [(14, 22), (10, 12)], "steel", upright=True)


def rods() -> str:
    """The connecting rods with their crossheads, one at the top and one half way."""
    drawn = ""
    for place, throw in ((2.1, 0.62), (5.1, 0.0)):
        x, low = at(place), SHAFT - throw * INCH
        drawn += turned(x, low - 20, [(2.75 * INCH - 34, 24)], "steel", upright=True)
        drawn += box(x - 28, low - 26, 56, 52, METALS["bronze"]) + line(x - 28, low, x + 28, low, 1.4)
        drawn += box(x - 28, low - 2.75 * INCH - 20, 56, 58, METALS["steel"])
        drawn += circle(x, low - 2.75 * INCH + 9, 11, METALS["paper"], 1.6)
    return drawn


def cylinders(made: bool = True) -> str:
    """The block with its two cylinders, its covers and the studs round them."""
    fill, dash = (METALS["gunmetal"], "") if made else ("none", DASHES)
    high = 1.9 * INCH
    foot = TOP - 18
    drawn = box(at(0.35), foot - 22, 6.5 * INCH, 22, fill, 2.2, dash)
    for place in (2.1, 5.1):
        x = at(place)
        drawn += box(x - 0.95 * INCH, foot - high, 1.9 * INCH, high - 22, fill, 2.2, dash)
        drawn += box(x - 1.05 * INCH, foot - high - 20, 2.1 * INCH, 20, METALS["iron"] if made else "none", 2.2, dash)
        if made:
            drawn += _shaded_barrel(x, foot - high, foot - 22) + _cover_nuts(x, foot - high - 20)
    drawn += box(at(3.05), foot - high + 30, 1.1 * INCH, high - 70, fill, 2.2, dash)
    return drawn


def _shaded_barrel(x: float, top: float, foot: float) -> str:
    steps = (-70, -66, -60, 36, 46, 54, 61, 67, 72)
    return "".join(line(x + step, top, x + step, foot, 0.8 + abs(step) / 120) for step in steps)


def _cover_nuts(x: float, y: float) -> str:
    drawn = box(x - 45, y - 16, 90, 16, METALS["iron"])
    for place in (-72, -58, 58, 72):
        drawn += box(x + place - 7, y - 11, 14, 11, METALS["steel"], 1.5) + box(
            x + place - 3.5, y - 18, 7, 7, "none", 1.2
        )
    return drawn


def flywheel(made: bool = False) -> str:
    """The flywheel, on edge."""
    wide, high = 1.0 * INCH, 4.75 * INCH
    x, y = at(7.6), SHAFT - high / 2
    if not made:
        return box(x, y, wide, high, dash=DASHES)
    shade = "".join(
        line(x, y + high * share, x + wide, y + high * share, 0.9) for share in (0.8, 0.86, 0.91, 0.95, 0.98)
    )
    return box(x, y, wide, high, METALS["iron"]) + shade
