"""Three sizes kept apart: as drawn full size, as scaled, as made."""

from dataclasses import astuple

import pytest

from builds.models import Build, Size
from builds.queries.plan.sizes import limits_of, sizes_of
from builds.services.plan import records as plan
from tests import factories


def size(build: Build, **fields: str) -> Size:
    part = build.parts.first() or factories.make_part(build)
    record = plan.save(record=Size(part=part, name="diameter", **fields), by=None)
    assert isinstance(record, Size)
    return record


def test_a_size_is_scaled_and_its_departure_told(db: None) -> None:
    # From practice: a scaled 4 in axle became 0.875 in stock (at 2½ inches to the foot it would be 0.8333 in).
    build = factories.make_build(units="in", scale="2½ in to the foot")
    kept = size(build, full_size="4 in", made="0.875", reason="nearest bar on the rack")
    (line,) = sizes_of(kept.part)
    assert (line.scaled, line.departs, line.message) == ("0.8333 in", "+0.0417 in", "")
    assert line.stock == "0.8125 in"


@pytest.mark.parametrize(
    ("scale", "full_size", "made", "scaled", "departs"),
    [
        # Common practice: a full-size 5 ft diameter is 15 in at one quarter scale.
        ("1/4", "5 ft", "15 in", "15 in", "as scaled"),
        ("1:6", "3 in", "", "0.5 in", ""),
        ("1:6", "", "0.5 in", "", ""),
    ],
)
def test_sizes_at_a_ratio(db: None, scale: str, full_size: str, made: str, scaled: str, departs: str) -> None:
    kept = size(factories.make_build(units="in", scale=scale), full_size=full_size, made=made)
    (line,) = sizes_of(kept.part)
    assert (line.scaled, line.departs) == (scaled, departs)


def test_a_build_without_a_readable_scale_says_so(db: None) -> None:
    kept = size(factories.make_build(scale="5 in gauge"), full_size="100 mm")
    (line,) = sizes_of(kept.part)
    assert line.scaled == ""
    assert "no scale that can be read" in line.message


def test_removing_a_part_and_undoing_brings_its_sizes_back(db: None) -> None:
    from builds.services.undo import undo

    build = factories.make_build(scale="1:6")
    kept = size(build, full_size="60 mm")
    plan.remove(record=kept.part, by=None)
    assert not Size.objects.exists()
    event = build.events.first()
    assert event is not None
    undo(event=event, by=None)
    assert Size.objects.get().full_size == "60 mm"


@pytest.mark.parametrize(
    ("build", "typed", "limits"),
    [
        # Its own limits come first, in the unit of the build.
        ({"general_tolerance": "ISO 2768-m"}, {"made": "12 h6"}, (12.0, 11.989, 12.0, "own", "11.989 to 12.000 mm")),
        ({"units": "in"}, {"made": ".500 +.002 -0"}, (12.7, 12.7, 12.7508, "own", "0.500 to 0.502 in")),
        ({}, {"made": "max 12"}, (12.0, None, 12.0, "own", "at most 12 mm")),
        # Without any, those of the build.
        ({"general_tolerance": "ISO 2768-m"}, {"made": "12"}, (12.0, 11.8, 12.2, "general", "11.8 to 12.2 mm")),
        ({"general_tolerance": "±0.1"}, {"made": "12"}, (12.0, 11.9, 12.1, "general", "11.9 to 12.1 mm")),
        ({"general_tolerance": "ISO 2768-m"}, {"made": "R1"}, (1.0, 0.8, 1.2, "general", "0.8 to 1.2 mm")),
        ({}, {"made": "12"}, (12.0, None, None, "none", "")),
        # The scaled size keeps the build's, where nothing else is worked to.
        (
            {"general_tolerance": "ISO 2768-f", "scale": "1:6"},
            {"full_size": "72 mm"},
            (12.0, 11.9, 12.1, "general", "11.9 to 12.1 mm"),
        ),
        # Told for knowledge, by a name, about an angle, or wider than the size itself.
        ({"general_tolerance": "ISO 2768-m"}, {"made": "(12)"}, (12.0, None, None, "none", "")),
        ({"general_tolerance": "ISO 2768-m"}, {"made": "M3"}, (3.0, None, None, "none", "")),
        ({"general_tolerance": "ISO 2768-m"}, {"made": "45°"}, (None, None, None, "none", "")),
        ({"general_tolerance": "ISO 2768-m"}, {"made": "0.3"}, (0.3, None, None, "none", "")),
        ({"general_tolerance": "±0.5"}, {"made": "0.4"}, (0.4, None, None, "none", "")),
        ({"general_tolerance": "all over"}, {"made": "12"}, (12.0, None, None, "none", "")),
    ],
)
def test_the_limits_of_a_size_and_where_they_come_from(
    db: None, build: dict[str, str], typed: dict[str, str], limits: tuple[object, ...]
) -> None:
    assert astuple(limits_of(size(factories.make_build(**build), **typed))) == limits


@pytest.mark.parametrize("made", ["", "2 mm"])
def test_limits_at_full_size_are_never_scaled_in_silence(db: None, made: str) -> None:
    build = factories.make_build(scale="1:6", general_tolerance="ISO 2768-m")
    assert astuple(limits_of(size(build, full_size="12 h6", made=made))) == (2.0, None, None, "asked", "")


def test_a_model_at_full_size_is_worked_to_the_limits_of_its_drawing(db: None) -> None:
    kept = size(factories.make_build(scale="1:1"), full_size="12 h6")
    assert astuple(limits_of(kept)) == (12.0, 11.989, 12.0, "own", "11.989 to 12.000 mm")


def test_limits_that_nobody_can_take_leave_the_size_as_it_was(db: None) -> None:
    kept = size(factories.make_build(scale="1:2"), full_size="25 mm", made="12 H7/g6")
    (line,) = sizes_of(kept.part)
    assert (line.scaled, line.departs) == ("12.5 mm", "−0.5 mm")
    assert "hole and its shaft" in line.message
    assert line.limits.source == "none"


def test_what_is_worked_to_stands_with_its_limits(db: None) -> None:
    build = factories.make_build(scale="1:6", general_tolerance="ISO 2768-m")
    size(build, made="12 h6"), plan.save(record=Size(part=build.parts.get(), name="length", full_size="60 mm"), by=None)
    assert [row.worked_to for row in sizes_of(build.parts.get())] == ["12 h6, 11.989 to 12.000 mm", "9.8 to 10.2 mm"]
