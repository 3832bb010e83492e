"""How the shop was left: what its machines are set up for."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from builds.models import Build, Entry, Operation

# How long a machine is taken to stand as it was left, when nothing was logged on it since: a judgement.
STANDS_FOR = timedelta(days=21)
NO_JIGS: frozenset[int] = frozenset()


@dataclass(frozen=True)
class SetUps:
    """The operation last on each machine, and the one of the build that was logged last.

    `by_hand` is that one where it names no machine; `jigs` are keys of the jigs that an operation needs, by its key.
    """

    on_machine: dict[int, int]
    logged_last: int | None
    by_hand: int | None
    jigs: dict[int, frozenset[int]]

    def stands(self, operation: Operation) -> bool:
        """Whether it needs no setting up. Without a machine, only what was logged last of all may stand as it was."""
        return self._last_on(operation) == operation.pk

    def same_fixture(self, operation: Operation) -> bool:
        """Whether a jig that it needs is on its machine already, for another operation."""
        last = self._last_on(operation)
        own, there = (self.jigs.get(key or 0, NO_JIGS) for key in (operation.pk, last))
        return last != operation.pk and not own.isdisjoint(there)

    def _last_on(self, operation: Operation) -> int | None:
        return self.by_hand if operation.machine_id is None else self.on_machine.get(operation.machine_id)


def set_ups_of(build: Build, as_of: date, jigs: Iterable[tuple[int, int]] = ()) -> SetUps:
    """How the machines were left, by whichever build of the shop was on them last. One query.

    jigs: pairs of an operation and a jig that it needs.
    """
    lately = Entry.objects.kept().filter(
        # Named, so that the index by build and day serves.
        build__in=Build.objects.values("pk"),
        worked_on__gte=as_of - STANDS_FOR,
        worked_on__lte=as_of,
        operation__isnull=False,
    )
    columns = "operation_id", "operation__machine_id", "build_id"
    worked = list(lately.order_by("-worked_on", "-pk").values_list(*columns))
    on_machine = {machine: operation for operation, machine, _build in reversed(worked) if machine is not None}
    own = ((operation, machine) for operation, machine, of_build in worked if of_build == build.pk)
    logged_last, machine = next(own, (None, None))
    needed = defaultdict[int, frozenset[int]](frozenset)
    for operation, jig in jigs:
        needed[operation] |= {jig}
    return SetUps(on_machine, logged_last, logged_last if machine is None else None, dict(needed))
