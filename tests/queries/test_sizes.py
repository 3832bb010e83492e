"""Three sizes kept apart: as drawn full size, as scaled, as made."""

import pytest

from builds.models import Build, Size
from builds.queries.plan.sizes import sizes_of
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
