"""A record of twenty years, invented, to measure the program with."""

import random
from argparse import ArgumentParser
from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import transaction
from django.utils import timezone

from builds.models import Assembly, Batch, Build, Builder, Entry, Machine, Material, Operation, Part
from builds.models.choices import Activity, Kind
from builds.services.log.totals import renew_all_totals

BUILDS, PARTS, OPERATIONS, ENTRIES = 10, 600, 4_000, 6_000
"""At size 1: builds, and of each its parts, operations and entries."""
MOST_BUILDS = 100
YEARS = 20
ASSEMBLIES = 12
ROUTE_KINDS = (Kind.SAWING, Kind.TURNING, Kind.MILLING, Kind.DRILLING, Kind.TAPPING, Kind.REAMING, Kind.FITTING)
AT_A_TIME = 2_000


class Command(BaseCommand):
    help = (
        "Fill an empty database with a long record: ten builds over twenty years, at size 1 with 600 parts, 4,000 "
        "operations and 6,000 entries each. For measuring: everything in it is invented, and nothing was ever amended."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("size", type=float, nargs="?", default=1.0, help="0.1, 1 or 4 are usual")
        parser.add_argument("--builds", type=int, default=BUILDS, help="how many builds (10)")

    def handle(self, *args: Any, size: float, builds: int, **options: Any) -> None:
        if Build.objects.exists():
            raise CommandError("There are builds here already. A long record wants an empty database.")
        if not 0.01 <= size <= 10:
            raise CommandError("The size lies between 0.01 and 10.")
        if not 1 <= builds <= MOST_BUILDS:
            raise CommandError(f"The number of builds lies between 1 and {MOST_BUILDS}.")
        with transaction.atomic():
            shop = Shop(random.Random(20), size, timezone.localdate())  # noqa: S311
            for number in range(1, builds + 1):
                build = shop.make_build(number)
                self.stdout.write(f"{build.name}: {build.parts.count()} parts, {build.entries.count()} entries")


class Shop:
    """The shop whose builds are made up; the same draws give the same record."""

    def __init__(self, rng: random.Random, size: float, today: date) -> None:
        self.rng, self.size, self.today = rng, size, today
        self.builder = Builder.objects.create(name="Ada")
        self.machines = [Machine.objects.create(name=f"Machine {n}", speeds=[100, 200, 400]) for n in range(1, 6)]
        self.materials = [Material.objects.create(name=f"Material {n}", density=7800.0) for n in range(1, 9)]

    def make_build(self, number: int) -> Build:
        first = self.today - timedelta(days=365 * YEARS)
        build = Build.objects.create(
            slug=f"long-{number}", name=f"Long build {number}", scale="1:6", started_on=first, on_board=True, revision=1
        )
        parts = self._parts(build)
        routes = self._routes(parts)
        Entry.objects.bulk_create(self._entries(build, parts, routes, first), AT_A_TIME)
        renew_all_totals(build)
        return build

    def _parts(self, build: Build) -> list[Part]:
        assemblies = Assembly.objects.bulk_create(
            Assembly(build=build, name=f"Assembly {n}", position=n) for n in range(ASSEMBLIES)
        )
        number = max(1, round(PARTS * self.size))
        return Part.objects.bulk_create(
            (
                Part(
                    build=build,
                    assembly=assemblies[n * ASSEMBLIES // number],
                    number=str(n + 1),
                    name=f"Part {n + 1}",
                    quantity=self.rng.choice((1, 1, 1, 2, 2, 4, 8, 12)),
                    material=self.rng.choice(self.materials),
                    position=n,
                )
                for n in range(number)
            ),
            AT_A_TIME,
        )

    def _routes(self, parts: list[Part]) -> list[list[Operation]]:
        """Six or seven operations a part, so that there are as many as the size asks for."""
        total = max(len(parts), round(OPERATIONS * self.size))
        lengths = [total * (n + 1) // len(parts) - total * n // len(parts) for n in range(len(parts))]
        operations = Operation.objects.bulk_create(
            (
                Operation(
                    part=part,
                    number=10 * (place + 1),
                    kind=ROUTE_KINDS[place % len(ROUTE_KINDS)],
                    machine=self.rng.choice(self.machines),
                    setup_minutes=self.rng.choice((0, 10, 20, 30)),
                    minutes_per_unit=round(self.rng.lognormvariate(2.7, 0.6), 1),
                )
                for part, length in zip(parts, lengths, strict=True)
                for place in range(length)
            ),
            AT_A_TIME,
        )
        routes, taken = [], 0
        for length in lengths:
            routes.append(operations[taken : taken + length])
            taken += length
        return routes

    def _entries(self, build: Build, parts: list[Part], routes: list[list[Operation]], first: date) -> Iterator[Entry]:
        """The log in order: part after part along its route, one entry in ten of shop time, over all the years."""
        number = max(1, round(ENTRIES * self.size))
        at_bench = number - number // 10
        # A third of the work is not begun, and what is done takes two entries an operation or three.
        work = [(part, operation) for part, route in zip(parts, routes, strict=True) for operation in route]
        work = work[: max(1, 2 * len(work) // 3)]
        batches, logged = self._batches([part for part, _operation in work], first), 0
        for n in range(number):
            day = first + timedelta(days=365 * YEARS * n // number)
            if n % 10 == 9:
                yield self._entry(build, day, activity=self.rng.choice(Activity.values))
                continue
            place = logged * len(work) // at_bench
            logged += 1
            part, operation = work[place]
            last = logged * len(work) // at_bench > place
            yield self._entry(
                build,
                day,
                part=part,
                operation=operation,
                batch=batches.get(part.pk),
                good=part.quantity if last else 0,
                scrap=int(last and self.rng.random() < 0.1),
            )

    def _batches(self, begun: list[Part], first: date) -> dict[int, Batch]:
        """A batch for each repeated part that was begun, with blanks enough for what is lost on the way."""
        repeated = {part.pk: part for part in begun if part.quantity > 2}.values()
        batches = Batch.objects.bulk_create(
            Batch(part=part, number=1, blanks=part.quantity + len(ROUTE_KINDS), started_on=first) for part in repeated
        )
        return {batch.part_id: batch for batch in batches}

    def _entry(self, build: Build, day: date, **fields: Any) -> Entry:
        minutes = 5 * round(max(5.0, self.rng.gauss(120, 50)) / 5)
        return Entry(build=build, builder=self.builder, worked_on=day, bench_minutes=minutes, **fields)
