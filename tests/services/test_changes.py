"""The one door of change: a revision, an event and a history row each, or nothing at all."""

import pytest
from django.core.exceptions import ValidationError

from builds.models import Build, Event, Part
from builds.models.choices import EventType
from builds.services.changes import Stale, change, write
from builds.services.plan import records as plan
from tests import factories


def test_a_change_raises_the_revision_by_exactly_one(db: None) -> None:
    build = factories.make_build()
    before = build.revision

    with change(build=build, by=None, type=EventType.EDIT_BUILD):
        pass

    assert build.revision == before + 1
    assert Build.objects.get(pk=build.pk).revision == before + 1


def test_the_event_says_who_did_what_at_which_revision(db: None) -> None:
    build, ada = factories.make_build(), factories.make_builder("Ada")

    with change(build=build, by=ada, type=EventType.ADD_PHOTO, details={"name": "the ring"}) as event:
        pass

    kept = Event.objects.get(pk=event.pk)
    assert (kept.by, kept.type, kept.details) == (ada, EventType.ADD_PHOTO, {"name": "the ring"})
    assert (str(kept), kept.revision, kept.undoable) == ("added a photo of the ring", build.revision, True)


def test_a_very_long_name_is_kept_whole(db: None) -> None:
    with change(build=factories.make_build(), by=None, type=EventType.ADD_PHOTO, details={"name": "x" * 1000}) as event:
        pass

    assert str(Event.objects.get(pk=event.pk)) == f"added a photo of {'x' * 1000}"


def test_a_refused_change_leaves_revision_event_and_records_as_they_were(db: None) -> None:
    build = factories.make_build()
    before, events = build.revision, Event.objects.count()

    def half_done() -> None:
        with change(build=build, by=None, type=EventType.EDIT_BUILD):
            Part.objects.create(build=build, number="1", name="Half written")
            raise RuntimeError

    with pytest.raises(RuntimeError):
        half_done()

    assert not Part.objects.exists()
    assert Event.objects.count() == events
    assert Build.objects.get(pk=build.pk).revision == before


def test_a_refused_change_does_not_leave_a_revision_in_hand_that_was_never_written(db: None) -> None:
    """A forecast is kept by revision, so asking for one that does not exist yet would poison the one to come."""
    build = factories.make_build()
    before = build.revision

    with pytest.raises(ValidationError):
        plan.save(record=Part(build=build, number="1", name="Ring", quantity=0), by=None)

    assert build.revision == before


def test_history_rows_carry_their_event_and_rows_outside_a_change_carry_none(db: None) -> None:
    build = factories.make_build()

    with change(build=build, by=None, type=EventType.EDIT_BUILD) as event:
        for number in ("1", "2"):
            write(Part(build=build, number=number, name="Stud"))
    Part.objects.create(build=build, number="3", name="By the back door")

    tags = dict(Part.history.values_list("number", "event_id"))
    assert tags == {"1": event.pk, "2": event.pk, "3": None}


def test_writing_an_existing_record_raises_its_version(db: None) -> None:
    part = factories.make_part(factories.make_build())

    with change(build=part.build, by=None, type=EventType.EDIT_BUILD):
        part.name = "Ring"
        write(part)

    assert part.version == 2
    assert Part.objects.get(pk=part.pk).version == 2


def test_a_form_that_showed_an_older_version_is_refused_and_writes_nothing(db: None) -> None:
    part = factories.make_part(factories.make_build())
    shown = part.version
    other = Part.objects.get(pk=part.pk)
    other.name = "Changed by somebody else"
    plan.save(record=other, by=None, seen=shown)
    revision = Build.objects.get(pk=part.build_id).revision

    part.name = "Mine"
    with pytest.raises(Stale, match="Somebody else changed this"):
        plan.save(record=part, by=None, seen=shown)

    kept = Part.objects.get(pk=part.pk)
    assert (kept.name, kept.version) == ("Changed by somebody else", shown + 1)
    assert Build.objects.get(pk=part.build_id).revision == revision


@pytest.mark.parametrize("seen", [0, -1, 99, 10**30])
def test_a_version_that_never_was_is_refused(db: None, seen: int) -> None:
    build = factories.make_build()
    build.name = "Other"

    with pytest.raises(Stale):
        plan.edit_build(build=build, by=None, seen=seen)

    assert Build.objects.get(pk=build.pk).name == "Beam engine"
