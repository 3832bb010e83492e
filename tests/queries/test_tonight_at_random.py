"""With invented plans, logs, needs and machines just what can be begun is offered, and nothing else."""

import random
from datetime import timedelta
from typing import Any

import pytest

from builds.models import Build, Entry, Machine, Need, Operation, Part
from builds.models.choices import Role
from builds.queries.forecast.tonight import tonight
from tests import factories
from tests.factories import TODAY, make_need, make_part

YESTERDAY = TODAY - timedelta(days=1)


def invented_build(dice: random.Random) -> Build:
    """Eight parts of up to three operations, half of them begun; later parts need earlier ones."""
    build = factories.make_build(f"Engine {dice.random()}")
    machines = [
        Machine.objects.create(
            name=f"Machine {dice.random()}", out_of_order_since_on=dice.choice([None, None, YESTERDAY])
        )
        for _ in range(3)
    ]
    parts: list[Part] = []
    for n in range(8):
        route = [
            {"kind": "turning", "minutes_per_unit": 10.0, "machine": dice.choice([None, *machines])}
            for _ in range(dice.randint(1, 3))
        ]
        waits = dice.random() < 0.15
        facts = {"waiting_for": "post", "waiting_since_on": YESTERDAY} if waits else {}
        role = dice.choice(["", "", "", "", Role.JIG, Role.BOUGHT])
        part = make_part(build, str(n), quantity=dice.randint(1, 5), role=role, operations=route, **facts)
        if parts and dice.random() < 0.4:
            make_need(dice.choice([part, *part.operations.all()]), dice.choice(parts))
        parts.append(part)
    for part in dice.sample(parts, 4):
        _log(build, part, dice)
    return build


def _log(build: Build, part: Part, dice: random.Random) -> None:
    arrived = part.quantity
    for operation in part.operations.all():
        arrived = good = dice.randint(0, arrived)
        if good:
            factories.make_entry(build, YESTERDAY, 10 * good, part=part, operation=operation, good=good)


def good_at(operation: Operation) -> int:
    return sum(Entry.objects.filter(operation=operation).values_list("good", flat=True))


def done(part: Part) -> bool:
    return good_at(list(part.operations.all())[-1]) >= part.quantity


def may_begin(operation: Operation, place: int, route: list[Operation]) -> bool:
    """Said once more, straight from the records."""
    part, machine = operation.part, operation.machine
    arrived = good_at(route[place - 1]) if place else part.quantity
    needs = Need.objects.filter(part=part).select_related("needed_part")
    held = [one for one in needs if one.operation_id in (None, operation.pk) and not done(one.needed_part)]
    return (
        arrived > good_at(operation)
        and part.role != Role.BOUGHT
        and not part.waiting_for
        and not (machine and machine.out_of_order_since_on)
        and not held
    )


@pytest.mark.parametrize("seed", range(6))
def test_just_what_can_be_begun_is_offered(db: Any, seed: int) -> None:
    build = invented_build(random.Random(seed))
    expected = {
        operation.pk
        for part in build.parts.all()
        for route in [list(part.operations.select_related("part", "machine"))]
        for place, operation in enumerate(route)
        if may_begin(operation, place, route)
    }
    assert {one.operation.pk for one in tonight(build, TODAY, 90).offers} == expected
