"""One fair example of every cut, as a function of its figures, and workings read back as sums."""

import math
import re

from calcs.cutting import Machine
from calcs.cutting.processes import PROCESSES
from calcs.units.registry import registry

Q = registry().Quantity


def mm(size):
    return Q(size, "mm")


# name: (function, fair arguments). Every argument is a quantity, so that tests can put others in its place.
CUTS = {
    "turning": (
        PROCESSES["turning"].cut,
        {
            "diameter": mm(50), "length": mm(100), "feed": mm(0.2), "cutting_speed": Q(30, "m/min"),
            "total_depth": mm(2), "depth_per_pass": mm(0.75), "approach": mm(2), "overtravel": mm(1),
            "return_time": Q(5, "s"), "specific_energy": Q(4.5, "J/mm**3"),
        },
    ),
    "boring": (
        PROCESSES["boring"].cut,
        {
            "bore": mm(25), "length": mm(40), "feed": mm(0.1), "cutting_speed": Q(25, "m/min"),
            "total_depth": mm(1), "depth_per_pass": mm(0.3), "specific_energy": Q(2, "J/mm**3"),
        },
    ),
    "facing": (
        PROCESSES["facing"].cut,
        {
            "diameter": mm(60), "inner": mm(20), "feed": mm(0.15), "cutting_speed": Q(30, "m/min"),
            "total_depth": mm(1), "depth_per_pass": mm(0.5), "approach": mm(2), "specific_energy": Q(3, "J/mm**3"),
        },
    ),
    "facing at one surface speed": (
        lambda **figures: PROCESSES["facing"].cut(
            constant="surface speed", machine=Machine(speed_low=50, speed_high=300), **figures
        ),
        {
            "diameter": mm(60), "inner": mm(10), "feed": mm(0.15), "cutting_speed": Q(30, "m/min"),
            "total_depth": mm(1), "depth_per_pass": mm(0.5), "approach": mm(2), "overtravel": mm(1),
            "return_time": Q(4, "s"), "specific_energy": Q(3, "J/mm**3"),
        },
    ),
    "parting": (
        PROCESSES["parting"].cut,
        {
            "diameter": mm(25), "feed": mm(0.04), "inner": mm(6), "blade": mm(2), "cutting_speed": Q(15, "m/min"),
            "approach": mm(1), "overtravel": mm(0.5), "specific_energy": Q(4.5, "J/mm**3"),
        },
    ),
    "drilling": (
        PROCESSES["drilling"].cut,
        {
            "diameter": mm(8), "depth": mm(30), "feed": mm(0.12), "cutting_speed": Q(20, "m/min"), "peck": mm(10),
            "peck_time": Q(4, "s"), "between_holes": Q(10, "s"), "approach": mm(2), "overtravel": mm(1),
            "specific_energy": Q(4.5, "J/mm**3"),
        },
    ),
    "reaming": (
        PROCESSES["reaming"].cut,
        {
            "diameter": mm(8), "depth": mm(30), "feed": mm(0.2), "cutting_speed": Q(8, "m/min"), "drilled": mm(7.8),
            "between_holes": Q(10, "s"), "approach": mm(2), "overtravel": mm(6), "specific_energy": Q(4, "J/mm**3"),
        },
    ),
    "tapping": (
        PROCESSES["tapping"].cut,
        {
            "diameter": mm(6), "pitch": mm(1), "depth": mm(15), "cutting_speed": Q(6, "m/min"), "lead": mm(3),
            "between_holes": Q(5, "s"),
        },
    ),
    "threading": (
        PROCESSES["threading"].cut,
        {
            "diameter": mm(20), "pitch": mm(2), "length": mm(40), "cutting_speed": Q(10, "m/min"),
            "total_depth": mm(1.23), "depth_per_pass": mm(0.1), "approach": mm(6), "overtravel": mm(4),
            "return_time": Q(8, "s"),
        },
    ),
    "peripheral_milling": (
        lambda **figures: PROCESSES["edge-milling"].cut(teeth=4, **figures),
        {
            "cutter": mm(50), "feed_per_tooth": mm(0.05), "length": mm(150), "total_depth": mm(6),
            "depth_per_pass": mm(2.5), "width": mm(20), "cutter_width": mm(40), "cutting_speed": Q(25, "m/min"),
            "approach": mm(2), "overtravel": mm(3), "return_time": Q(6, "s"), "specific_energy": Q(4.5, "J/mm**3"),
        },
    ),
    "face_milling": (
        lambda **figures: PROCESSES["face-milling"].cut(teeth=5, **figures),
        {
            "cutter": mm(63), "feed_per_tooth": mm(0.06), "length": mm(150), "width": mm(40), "offset": mm(5),
            "total_depth": mm(2), "depth_per_pass": mm(0.8), "cutting_speed": Q(60, "m/min"), "approach": mm(2),
            "overtravel": mm(30), "return_time": Q(6, "s"), "specific_energy": Q(0.7, "J/mm**3"),
        },
    ),
    "slot_milling": (
        lambda **figures: PROCESSES["slot-milling"].cut(teeth=2, **figures),
        {
            "cutter": mm(6), "feed_per_tooth": mm(0.03), "length": mm(40), "depth": mm(4), "depth_per_pass": mm(1.5),
            "cutting_speed": Q(25, "m/min"), "approach": mm(1), "overtravel": mm(2), "return_time": Q(4, "s"),
            "specific_energy": Q(4.5, "J/mm**3"),
        },
    ),
    "keyway": (
        lambda **figures: PROCESSES["slot-milling"].cut(teeth=2, closed=True, **figures),
        {
            "cutter": mm(6), "feed_per_tooth": mm(0.03), "length": mm(40), "depth": mm(4), "depth_per_pass": mm(1.5),
            "cutting_speed": Q(25, "m/min"),
        },
    ),
    "pocket_milling": (
        lambda **figures: PROCESSES["pocket-milling"].cut(teeth=2, **figures),
        {
            "cutter": mm(10), "feed_per_tooth": mm(0.05), "volume": Q(20, "cm**3"), "stepover": mm(6),
            "depth_per_pass": mm(2), "cutting_speed": Q(60, "m/min"), "specific_energy": Q(0.7, "J/mm**3"),
        },
    ),
    "sawing": (PROCESSES["sawing"].cut, {"section": Q(20, "cm**2"), "rate": Q(15, "cm**2/min")}),
    "shaping": (
        PROCESSES["shaping"].cut,
        {
            "stroke": mm(120), "width": mm(60), "feed": mm(0.3), "cutting_speed": Q(15, "m/min"),
            "total_depth": mm(3), "depth_per_pass": mm(1), "approach": mm(15), "overtravel": mm(10),
            "specific_energy": Q(3, "J/mm**3"),
        },
    ),
    "surface_grinding": (
        PROCESSES["surface-grinding"].cut,
        {
            "length": mm(120), "width": mm(50), "table_speed": Q(10, "m/min"), "cross_feed": mm(3),
            "total_depth": mm(0.2), "depth_per_pass": mm(0.02), "approach": mm(20), "overtravel": mm(20),
            "specific_energy": Q(30, "J/mm**3"),
        },
    ),
}  # fmt: skip
FEEDS = {"feed", "feed_per_tooth", "cross_feed", "rate", "cutting_speed", "table_speed"}
_INCHES = {"millimeter": "inch", "meter / minute": "foot / minute", "centimeter ** 2": "inch ** 2",
           "centimeter ** 3": "inch ** 3", "centimeter ** 2 / minute": "inch ** 2 / minute",
           "joule / millimeter ** 3": "horsepower * minute / inch ** 3"}  # fmt: skip


def cut(name, **others):
    """The fair example, with other figures in the place of some."""
    function, figures = CUTS[name]
    return function(**{**figures, **others})


def in_inches(quantity):
    """The same size in the units of an inch drawing."""
    return quantity.to(_INCHES.get(str(quantity.units), quantity.units))


def worked_out(numbers):
    """Work out what stands in a working's line of numbers."""
    text, up = re.subn(r",? rounded up$", "", numbers)
    text, down = re.subn(r",? rounded down$", "", text)
    text = re.sub(r"(?<=\d),(?=\d{3})", "", text)
    text = re.sub(r"(\d+(?:\.\d+)?)°", r"radians(\1)", text)
    text = re.sub(r"√(\d+)", r"sqrt(\1)", text).replace("√(", "sqrt(")
    for sign, meaning in (("×", "*"), ("÷", "/"), ("−", "-"), ("π", "pi"), ("²", "**2"), ("³", "**3"), ("^", "**")):
        text = text.replace(sign, meaning)
    value = eval(text, {"__builtins__": {}}, vars(math))  # noqa: S307
    if up:
        return math.ceil(value - 1e-6)
    return math.floor(value + 1e-6) if down else value
