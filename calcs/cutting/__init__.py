"""Time from the drawing: how long a cut takes, what it removes and what power that asks for.

Every function takes quantities with their units and gives a `Cut` or a `Result` with its whole working.
"""

from calcs.cutting.facing import facing, parting
from calcs.cutting.power import cutting_force, cutting_power, removal_rate, theoretical_finish, torque
from calcs.cutting.results import Cut, Machine, Result
from calcs.cutting.speeds import cutting_speed, feed_per_turn, feed_rate, held_speed, speed_for_time, spindle_speed
from calcs.cutting.turning import boring, turning

__all__ = [
    "Cut",
    "Machine",
    "Result",
    "boring",
    "cutting_force",
    "cutting_power",
    "cutting_speed",
    "facing",
    "feed_per_turn",
    "feed_rate",
    "held_speed",
    "parting",
    "removal_rate",
    "speed_for_time",
    "spindle_speed",
    "theoretical_finish",
    "torque",
    "turning",
]
