"""The working order: what is to be made first, put together by hand."""

from bisect import bisect_left
from collections.abc import Sequence
from itertools import pairwise

from django.db.models import Q

from builds.models import Build, Builder, Event, Part
from builds.models.choices import EventType
from builds.services.changes import change, write


def set_working_order(*, build: Build, keys: Sequence[int], by: Builder | None) -> Event | None:
    """Let the working order be these parts of the build, by their keys; whichever is not named has no place in it.

    Only parts that change their place among the others are written, so that taking it back meddles with no other move.
    None, with no event, where the order is so already.
    """
    known = {part.pk: part for part in Part.objects.filter(Q(place__isnull=False) | Q(pk__in=keys), build=build)}
    order = [known[key] for key in dict.fromkeys(keys) if key in known]
    places = dict(zip((part.pk for part in order), _places([part.place for part in order]), strict=True))
    moved = [part for part in known.values() if part.place != places.get(part.pk)]
    if not moved:
        return None
    with change(build=build, by=by, type=EventType.WORKING_ORDER) as event:
        for part in moved:
            part.place = places.get(part.pk)
            write(part)
    return event


def _places(now: Sequence[float | None]) -> list[float]:
    """Rising places for parts in their new order, from those that they have now; as many as can stay as they are."""
    fixed: dict[int, float] = {at: place for at in _staying(now) if (place := now[at]) is not None}
    places: list[float] = []
    for at in range(len(now)):
        low = places[-1] if places else None
        ahead = next((there for there in range(at, len(now)) if there in fixed), None)
        if ahead is None:
            places.append(1.0 if low is None else low + 1)
        elif low is None:
            places.append(fixed[ahead] - (ahead - at))
        else:
            places.append(low + (fixed[ahead] - low) / (ahead - at + 1) if ahead != at else fixed[at])
    # After some fifty moves into one gap there is no figure left between its ends.
    if any(low >= high for low, high in pairwise(places)):
        return [float(at) for at in range(1, len(now) + 1)]
    return places


def _staying(places: Sequence[float | None]) -> list[int]:
    """Where the longest rising run stands, with gaps: the parts of it need not move."""
    ends: list[int] = []
    before: dict[int, int | None] = {}
    for at, place in enumerate(places):
        if place is not None:
            length = bisect_left(ends, place, key=lambda there: places[there] or 0.0)
            before[at] = ends[length - 1] if length else None
            ends[length : length + 1] = [at]
    run, last = list[int](), ends[-1] if ends else None
    while last is not None:
        run.append(last)
        last = before[last]
    return run
