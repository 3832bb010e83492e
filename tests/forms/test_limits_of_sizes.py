"""A size with a tolerance class is said with its limits. The figures: ISO 286-2, 12 g6, 20 H7 and 20 h7."""

import pytest

from builds.arithmetic.fields import LengthField


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("12g6", "g6: 11.983 to 11.994 mm"),
        ("20 H7", "H7: 20.000 to 20.021 mm"),
        ("20 h7", "h7: 19.979 to 20.000 mm"),
    ],
)
def test_a_size_with_a_tolerance_class_is_said_with_its_limits(text, said):
    field = LengthField("Size")
    assert field.clean(text).magnitude in (12, 20)
    assert field.reading.endswith(said)


def test_a_class_that_no_table_has_is_left_aside_and_said_to_be():
    field = LengthField("Size")
    field.clean("20 z9")
    assert "left aside" in field.reading
    assert "mm;" not in field.reading
