"""The one table of what a workshop reckons with: each kind of quantity, its units, and how it is shown.

Sizes of units are exact. 1 in = 25.4 mm, 1 lb = 0.45359237 kg, standard gravity = 9.80665 m/s² (all by definition);
1 hp = 550 ft·lbf/s. What a sum may be given, what a reader reads and what a working shows all come from here.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, cached_property

from calcs.messages import _, gettext_noop

INCH = Fraction("25.4")
FOOT = 12 * INCH
_POUND = Fraction("0.45359237")
_POUND_FORCE = _POUND * Fraction("9.80665")
_HORSEPOWER = 550 * FOOT / 1000 * _POUND_FORCE


@dataclass(frozen=True)
class Unit:
    """A unit: its printed sign, its name for Pint, and how many of the kind's base unit it is, exactly.

    spellings: what people type for it, in plain text with bars between. beside: the sign of the unit that a reading
    puts beside it.
    """

    sign: str
    pint: str
    size: Fraction | int = 1
    spellings: str = ""
    beside: str = ""

    @cached_property
    def factor(self) -> float:
        """The size as the nearest float."""
        return float(self.size)


@dataclass(frozen=True)
class QuantityKind:
    """A kind of quantity: its units, its name in words, and the sizes that make sense, in the base unit.

    metric, inch: the first of each is the unit that figures are shown in. example: what a refusal says to write.
    """

    metric: tuple[Unit, ...]
    inch: tuple[Unit, ...] = ()
    words: str = ""
    low: float = 0
    high: float = math.inf
    example: str = ""

    @property
    def name(self) -> str:
        """The kind in words, in the language of whoever reads it."""
        return _(self.words)

    @cached_property
    def base(self) -> str:
        """Pint's name of the unit that sums are done in: the one of size 1."""
        return next(unit.pint for unit in self.metric if unit.size == 1)

    def shown(self, inch: bool) -> Unit:
        """The unit that figures are shown in; the same for both systems where there is one only."""
        return self.inch[0] if inch and self.inch else self.metric[0]

    @cached_property
    def spelled(self) -> dict[str, Unit]:
        """Every spelling and the unit that it means."""
        return {text: unit for unit in (*self.metric, *self.inch) for text in unit.spellings.split("|") if text}

    @cached_property
    def signed(self) -> dict[str, Unit]:
        """The units by their printed signs."""
        return {unit.sign: unit for unit in (*self.metric, *self.inch)}


_MM = Unit("mm", "millimeter", 1, "mm|mms|millimetre|millimetres|millimeter|millimeters")
_CM = Unit("cm", "centimeter", 10, "cm|cms|centimetre|centimetres|centimeter|centimeters")
_M = Unit("m", "meter", 1000, "m|metre|metres|meter|meters")
_MICRON = Unit("µm", "micrometer", Fraction(1, 1000), "μm|um|micron|microns|micrometre|micrometres")
_IN = Unit("in", "inch", INCH, '"|in|ins|inch|inches')
_THOU = Unit("thou", "thou", INCH / 1000, "thou|thous|mil|mils")
_FT = Unit("ft", "foot", FOOT, "'|ft|foot|feet")
_YD = Unit("yd", "yard", 3 * FOOT, "yd|yds|yard|yards")


def _power(length: Unit, power: int, beside: str, also: str = "") -> Unit:
    """The area or the volume whose edge is a unit of length."""
    short, long, raised = {2: ("sq", "square", "²"), 3: ("cu", "cubic", "³")}[power]
    edges = [one for one in length.spellings.split("|") if one.isalpha()]
    spellings = [
        text for one in edges for text in (f"{one}^{power}", f"{one}{power}", f"{short} {one}", f"{long} {one}")
    ]
    size = Fraction(length.size) ** power
    return Unit(
        length.sign + raised, f"{length.pint} ** {power}", size, "|".join(filter(None, [*spellings, also])), beside
    )


def _per(unit: Unit, beside: str = "", also: str = "", *, time: str = "min", size: Fraction | None = None) -> Unit:
    """So much of a unit in a minute or a second. A bare m is a minute behind a length, but m/m is left unread."""
    name, times, spelled = {"min": ("minute", 1, ("min", "m")), "s": ("second", 60, ("s", "sec", "second"))}[time]
    spellings = [
        f"{one}/{per}"
        for one in unit.spellings.split("|")
        for per in spelled
        if per != "m" or (one != "m" and one[-1:].isalpha())
    ]
    each = times * (Fraction(unit.size) if size is None else size)
    return Unit(
        f"{unit.sign}/{time}", f"{unit.pint} / {name}", each, "|".join(filter(None, [*spellings, also])), beside
    )


def _speed(length: Unit, time: str, beside: str = "", also: str = "") -> Unit:
    return _per(length, beside, also, time=time, size=Fraction(length.size) / 1000)


LENGTH = QuantityKind(
    (_MM, _CM, _M, _MICRON), (_IN, _THOU, _FT, _YD), gettext_noop("a length"), 1e-6, 1e6, "12.7 mm or 0.5 in"
)
SPEED = QuantityKind(
    (
        _speed(_M, "min", "ft/min", "smm|mpm"),
        *(_speed(_M, "s"), _speed(_MM, "min"), _speed(_MM, "s"), _speed(_CM, "min"), _speed(_CM, "s")),
    ),
    (_speed(_FT, "min", "m/min", "sfm|sfpm|fpm|sf/min|sf/m"), _speed(_FT, "s"), _speed(_IN, "min"), _speed(_IN, "s")),
    gettext_noop("a speed"),
    1e-3,
    1e4,
    "25 m/min or 80 ft/min",
)
FEED_RATE = QuantityKind((_per(_MM),), (_per(_IN),), gettext_noop("a feed rate"), 1e-4, 1e7, "120 mm/min or 5 in/min")
FEED = QuantityKind(
    (Unit("mm/rev", "millimeter"),),
    (Unit("in/rev", "inch", INCH),),
    gettext_noop("a length for each turn or tooth"),
    1e-6,
    1e3,
    "0.1 mm or 0.004 in",
)
_MM2, _CM2, _M2 = _power(_MM, 2, "in²"), _power(_CM, 2, "in²"), _power(_M, 2, "ft²")
_IN2, _FT2 = _power(_IN, 2, "mm²", "sq.in"), _power(_FT, 2, "m²")
AREA = QuantityKind((_MM2, _CM2, _M2), (_IN2, _FT2), gettext_noop("an area"), 1e-6, 1e9, "300 mm² or 0.5 in²")
_MM3, _CM3, _M3 = _power(_MM, 3, "in³"), _power(_CM, 3, "in³", "cc|ccs|ml"), _power(_M, 3, "ft³")
_IN3, _FT3 = _power(_IN, 3, "cm³", "cu.in|ci|cid"), _power(_FT, 3, "l")
_LITRE = Unit("l", "liter", 10**6, "l|litre|litres|liter|liters|dm^3", "in³")
VOLUME = QuantityKind(
    (_CM3, _MM3, _LITRE, _M3), (_IN3, _FT3), gettext_noop("a volume"), 1e-6, 1e13, "20 cm³ or 1.2 in³"
)
TIME = QuantityKind((Unit("min", "minute"),), (), gettext_noop("a time"), 1e-6, 1e7, "3 s or 2 min")
AREA_RATE = QuantityKind(
    (_per(_CM2, "in²/min"), _per(_MM2, "in²/min")),
    (_per(_IN2, "cm²/min"),),
    gettext_noop("an area sawn in a time"),
    1,
    1e8,
    "20 cm²/min or 3 in²/min",
)
REMOVAL = QuantityKind(
    (_per(_CM3), _per(_MM3)), (_per(_IN3),), gettext_noop("a volume in a time"), 1e-9, 1e12, "5 cm³/min"
)
ENERGY = QuantityKind(
    (Unit("W·s/mm³", "joule / millimeter ** 3"),),
    (Unit("hp·min/in³", "horsepower * minute / inch ** 3", _HORSEPOWER * 60 / INCH**3),),
    gettext_noop("an energy for each volume"),
    1e-4,
    1e4,
    "3 J/mm³",
)
POWER = QuantityKind(
    (Unit("W", "watt", 1, "w|watt|watts", "hp"), Unit("kW", "kilowatt", 1000, "kw|kilowatt|kilowatts", "hp")),
    (Unit("hp", "horsepower", _HORSEPOWER, "hp|h.p.|bhp|horsepower|horse power", "W"),),
    gettext_noop("a power"),
    1,
    1e6,
    "500 W or 3/4 hp",
)
_KG = Unit("kg", "kilogram", 1, "kg|kgs|kilo|kilos|kilogram|kilograms", "lb")
_GRAM = Unit("g", "gram", Fraction(1, 1000), "g|gm|gms|gr|gram|grams|gramme|grammes", "oz")
_TONNE = Unit("t", "metric_ton", 1000, "t|tonne|tonnes", "lb")
_LB, _OZ = (
    Unit("lb", "pound", _POUND, "lb|lbs|pound|pounds", "kg"),
    Unit("oz", "ounce", _POUND / 16, "oz|ounce|ounces", "g"),
)
MASS = QuantityKind((_KG, _GRAM, _TONNE), (_LB, _OZ), gettext_noop("a mass"), 1e-6, 1e6, "250 g or 9 oz")
DENSITY = QuantityKind(
    (
        Unit("kg/m³", "kilogram / meter ** 3", 1, "kg/m^3|kg/m3", "lb/in³"),
        Unit("g/cm³", "gram / centimeter ** 3", 1000, "g/cm^3|g/cm3|g/cc|kg/l|kg/dm^3", "lb/in³"),
    ),
    (
        Unit("lb/in³", "pound / inch ** 3", _POUND / (INCH / 1000) ** 3, "lb/in^3|lb/in3|lb/cu in|lbs/in^3", "kg/m³"),
        Unit("lb/ft³", "pound / foot ** 3", _POUND / (FOOT / 1000) ** 3, "lb/ft^3|lb/ft3|lb/cu ft", "kg/m³"),
    ),
    gettext_noop("a density"),
    0.1,
    25_000,
    "7850 kg/m³ or 0.284 lb/in³",
)
PRESSURE = QuantityKind(
    (
        Unit("bar", "bar", 1, "bar|bars", "psi"),
        Unit("MPa", "megapascal", 10, "mpa|megapascal|megapascals|n/mm^2|n/mm2", "psi"),
        Unit("kPa", "kilopascal", Fraction(1, 100), "kpa|kilopascal|kilopascals", "psi"),
    ),
    (Unit("psi", "pound_force_per_square_inch", 10 * _POUND_FORCE / INCH**2, "psi|psig|lbf/in^2|lb/in^2", "bar"),),
    gettext_noop("a pressure"),
    0.01,
    1000,
    "6 bar or 90 psi",
)
TURNS = QuantityKind((Unit("rev/min", "rpm"),), low=1e-4, high=1e6, example="600 rpm")

KINDS = {
    "length": LENGTH,
    "feed": FEED,
    "tooth feed": QuantityKind((Unit("mm/tooth", "millimeter"),), (Unit("in/tooth", "inch", INCH),)),
    "feed rate": FEED_RATE,
    "speed": SPEED,
    "piston speed": QuantityKind(
        (Unit("m/s", "meter / second"),), (Unit("ft/min", "foot / minute", FOOT / 1000 / 60),)
    ),
    "acceleration": QuantityKind(
        (Unit("m/s²", "meter / second ** 2"),), (Unit("ft/s²", "foot / second ** 2", FOOT / 1000),)
    ),
    "turns": TURNS,
    "strokes": QuantityKind((Unit("strokes/min", "1 / minute"),)),
    "area": AREA,
    "area rate": AREA_RATE,
    "volume": VOLUME,
    "removal": REMOVAL,
    "energy": ENERGY,
    "power": POWER,
    "torque": QuantityKind(
        (Unit("N·m", "newton * meter"),), (Unit("lbf·in", "force_pound * inch", _POUND_FORCE * INCH / 1000),)
    ),
    "force": QuantityKind((Unit("N", "newton"),), (Unit("lbf", "force_pound", _POUND_FORCE),)),
    "work": QuantityKind((Unit("J", "joule"),), (Unit("ft·lbf", "foot * force_pound", FOOT / 1000 * _POUND_FORCE),)),
    "inertia": QuantityKind(
        (Unit("kg·m²", "kilogram * meter ** 2"),),
        (Unit("lb·ft²", "pound * foot ** 2", _POUND * (FOOT / 1000) ** 2),),
    ),
    "spring rate": QuantityKind((Unit("N/mm", "newton / millimeter"),)),
    "stress": QuantityKind((Unit("MPa", "megapascal"),)),
    "warmth": QuantityKind((Unit("°C", "delta_degree_Celsius"),)),
    "pressure": PRESSURE,
    "finish": QuantityKind((_MICRON,), (Unit("µin", "microinch", INCH / 10**6),)),
    "time": TIME,
    "mass": MASS,
    "density": DENSITY,
    "angle": QuantityKind((Unit("°", "degree"),)),
    "per cent": QuantityKind((Unit("%", "percent"),)),
    "number": QuantityKind((Unit("", "dimensionless"),)),
}
"""Every kind by the key that a working calls it by."""


@cache
def inch_names() -> frozenset[str]:
    """Pint's names that belong to the inch system alone: inch, foot, pound, horsepower and their like.

    >>> "inch" in inch_names(), "minute" in inch_names()
    (True, False)
    """

    def names(units: Iterable[Unit]) -> set[str]:
        return set(re.findall(r"[a-z_]+", " ".join(unit.pint for unit in units)))

    kinds = KINDS.values()
    return frozenset(
        names(one for kind in kinds for one in kind.inch) - names(one for kind in kinds for one in kind.metric)
    )
