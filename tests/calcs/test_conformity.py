"""What a measured figure proves of its piece, at and beside its limits (ISO 14253-1, from memory)."""

import pytest

from calcs.parts.conformity import Verdict, conformity

LOWER, UPPER = 12.0, 12.018


@pytest.mark.parametrize(
    ("figure", "uncertainty", "verdict"),
    [
        # Nothing known of the instrument: the figure as it stands, and the limits are within.
        (12.0, 0.0, Verdict.IN), (12.018, 0.0, Verdict.IN),
        (12.018001, 0.0, Verdict.OUT), (11.999999, 0.0, Verdict.OUT),
        # Proved in from U inside of a limit on, proved out beyond U outside of it, and nothing between the two.
        (12.002, 0.002, Verdict.IN), (12.001999, 0.002, Verdict.NOT_DECIDED), (12.0, 0.002, Verdict.NOT_DECIDED),
        (11.998, 0.002, Verdict.NOT_DECIDED), (11.997999, 0.002, Verdict.OUT),
        (12.016, 0.002, Verdict.IN), (12.016001, 0.002, Verdict.NOT_DECIDED), (12.02, 0.002, Verdict.NOT_DECIDED),
        (12.020001, 0.002, Verdict.OUT),
        # An instrument as doubtful as the limits are apart proves no piece in.
        (12.009, 0.009, Verdict.IN), (12.009, 0.0091, Verdict.NOT_DECIDED),
    ],
)  # fmt: skip
def test_between_two_limits(figure: float, uncertainty: float, verdict: Verdict) -> None:
    assert conformity(figure, LOWER, UPPER, uncertainty).verdict is verdict


@pytest.mark.parametrize(
    ("figure", "verdict"),
    [(11.0, Verdict.IN), (11.99, Verdict.IN), (12.0, Verdict.NOT_DECIDED), (12.01, Verdict.NOT_DECIDED),
     (12.011, Verdict.OUT)],
)  # fmt: skip
def test_one_limit_alone_and_its_mirror_image(figure: float, verdict: Verdict) -> None:
    assert conformity(figure, None, 12.0, 0.01).verdict is verdict
    assert conformity(24.0 - figure, 12.0, None, 0.01).verdict is verdict


def test_how_far_out_it_is_has_a_sign() -> None:
    assert conformity(12.03, LOWER, UPPER).beyond == 0.012
    assert conformity(11.99, LOWER, UPPER).beyond == -0.01
    assert conformity(12.01, LOWER, UPPER).beyond == 0


def test_what_floats_leave_behind_moves_nothing_over_a_limit() -> None:
    # 12.1 + 0.2 is 12.299999999999999 in floats, and 0.1 + 0.2 lies above 0.3.
    assert conformity(12.1 + 0.2, 12.3, None).verdict is Verdict.IN
    assert conformity(0.1 + 0.2, None, 0.3).verdict is Verdict.IN


def test_without_a_limit_there_is_no_verdict() -> None:
    assert conformity(12.0, None, None, 0.002).verdict is Verdict.NO_LIMITS


@pytest.mark.parametrize(("lower", "upper", "uncertainty"), [(12.0, 11.0, 0.0), (11.0, 12.0, -0.001)])
def test_what_cannot_be_is_refused(lower: float, upper: float, uncertainty: float) -> None:
    with pytest.raises(ValueError):
        conformity(11.5, lower, upper, uncertainty)
