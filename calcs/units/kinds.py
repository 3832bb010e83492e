"""The kinds of quantity that a workshop reckons with."""

from dataclasses import dataclass


@dataclass(frozen=True)
class QuantityKind:
    """A kind of quantity: its name in words, the unit that sums are done in, and the sizes that make sense."""

    words: str
    dimension: str
    unit: str
    low: float
    high: float
    example: str


LENGTH = QuantityKind("a length", "[length]", "millimeter", 1e-6, 1e6, "12.7 mm or 0.5 in")
SPEED = QuantityKind("a speed", "[length] / [time]", "meter / minute", 1e-4, 1e5, "25 m/min or 80 ft/min")
FEED_RATE = QuantityKind(
    "a rate of feed", "[length] / [time]", "millimeter / minute", 1e-4, 1e7, "120 mm/min or 5 in/min"
)
FEED = QuantityKind("a length for each turn or tooth", "[length]", "millimeter", 1e-6, 1e3, "0.1 mm or 0.004 in")
AREA = QuantityKind("an area", "[length] ** 2", "millimeter ** 2", 1e-6, 1e9, "300 mm² or 0.5 in²")
VOLUME = QuantityKind("a volume", "[length] ** 3", "millimeter ** 3", 1e-6, 1e14, "20 cm³ or 1.2 in³")
TIME = QuantityKind("a time", "[time]", "minute", 1e-6, 1e7, "3 s or 2 min")
AREA_RATE = QuantityKind(
    "an area in a time", "[length] ** 2 / [time]", "millimeter ** 2 / minute", 1e-3, 1e9, "20 cm²/min"
)
REMOVAL = QuantityKind(
    "a volume in a time", "[length] ** 3 / [time]", "millimeter ** 3 / minute", 1e-9, 1e12, "5 cm³/min"
)
ENERGY = QuantityKind(
    "an energy for each volume", "[mass] / [length] / [time] ** 2", "joule / millimeter ** 3", 1e-4, 1e4, "3 J/mm³"
)
POWER = QuantityKind("a power", "[mass] * [length] ** 2 / [time] ** 3", "watt", 1e-9, 1e9, "500 W or 0.75 hp")
MASS = QuantityKind("a mass", "[mass]", "kilogram", 1e-9, 1e9, "2 kg or 4 lb")
DENSITY = QuantityKind("a density", "[mass] / [length] ** 3", "kilogram / meter ** 3", 0.1, 25_000, "7850 kg/m³")
