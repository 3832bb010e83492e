"""Time from the drawing: how long a cut takes, what it removes and what power that asks for.

Every function takes quantities with their units and gives a `Cut` or a `Result` with its whole working.
"""

from calcs.cutting.facing import facing, parting
from calcs.cutting.handling import with_handling
from calcs.cutting.holes import drilling, point_length, reaming
from calcs.cutting.milling import face_milling, peripheral_lead_in, peripheral_milling, pocket_milling, slot_milling
from calcs.cutting.power import cutting_force, cutting_power, removal_rate, theoretical_finish, torque
from calcs.cutting.results import Cut, Machine, Result
from calcs.cutting.sawing_shaping import sawing, shaper_speed, shaping, surface_grinding
from calcs.cutting.speeds import cutting_speed, feed_per_turn, feed_rate, held_speed, speed_for_time, spindle_speed
from calcs.cutting.threading import tapping, threading, threads_per_length
from calcs.cutting.turning import boring, turning

__all__ = [
    "Cut",
    "Machine",
    "Result",
    "boring",
    "cutting_force",
    "cutting_power",
    "cutting_speed",
    "drilling",
    "face_milling",
    "facing",
    "feed_per_turn",
    "feed_rate",
    "held_speed",
    "parting",
    "peripheral_lead_in",
    "peripheral_milling",
    "pocket_milling",
    "point_length",
    "reaming",
    "removal_rate",
    "sawing",
    "shaper_speed",
    "shaping",
    "slot_milling",
    "speed_for_time",
    "spindle_speed",
    "surface_grinding",
    "tapping",
    "theoretical_finish",
    "threading",
    "threads_per_length",
    "torque",
    "turning",
    "with_handling",
]
