"""Time from the drawing: how long a cut takes, what it removes and what power that asks for.

Every function takes quantities with their units and gives a `Cut` or a `Result` with its whole working.
"""

from calcs.cutting.facing import facing, parting
from calcs.cutting.handling import with_handling
from calcs.cutting.holes import drilling, reaming
from calcs.cutting.milling import face_milling, peripheral_milling, pocket_milling, slot_milling
from calcs.cutting.power import theoretical_finish
from calcs.cutting.results import Cut
from calcs.cutting.sawing_shaping import sawing, shaping, surface_grinding
from calcs.cutting.set_up import Depths, Machine, SetUp
from calcs.cutting.speeds import spindle_speed
from calcs.cutting.threading import tapping, threading
from calcs.cutting.turning import boring, turning

__all__ = [
    "Cut",
    "Depths",
    "Machine",
    "SetUp",
    "boring",
    "drilling",
    "face_milling",
    "facing",
    "parting",
    "peripheral_milling",
    "pocket_milling",
    "reaming",
    "sawing",
    "shaping",
    "slot_milling",
    "spindle_speed",
    "surface_grinding",
    "tapping",
    "theoretical_finish",
    "threading",
    "turning",
    "with_handling",
]
