"""How the forecast's ranges held on simulated builds. Written by tests.calibration --keep, not by hand.

Columns as in calcs.forecast.trust.Measured. `ARITHMETIC` is the one that was measured.
"""

ARITHMETIC = 12
ROWS = (
    ("base", 800, 83, 77, 0.98, 89),
    ("strong learning", 200, 83, 83, 1.02, 86),
    ("no learning", 200, 84, 80, 0.98, 90),
    ("no counts", 200, 78, 76, 0.97, 90),
    ("by assembly", 200, 81, 82, 1.04, 88),
    ("early", 100, 86, 85, 0.99, 93),
    ("kinds astray", 200, 76, 74, 0.99, 91),
    ("rough plans", 200, 78, 82, 1.04, 88),
    ("heavy shop time", 200, 82, 82, 1.00, 90),
    ("growth", 200, 74, 68, 0.97, 89),
    ("wild tails", 200, 73, 71, 0.95, 85),
    ("normal tails", 200, 84, 88, 1.02, 86),
    ("pace drifts down", 200, 84, 84, 1.02, 88),
    ("pace drifts up", 200, 85, 84, 1.03, 86),
    ("pace jumps", 200, 81, 84, 1.01, 79),
    ("few parts", 200, 82, 82, 1.00, 87),
    ("many parts", 200, 88, 88, 0.99, 94),
    ("all regimes", 3900, 82, 80, 1.00, 88),
)
