"""The builds whose every figure is held against every other: the demonstration, and a young one of fifteen parts."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.utils import timezone

from builds.management.demonstration import RECORD, whole_weeks_to
from builds.models import Build, Material
from builds.services.log.entries import LogLine, record_entry
from builds.transfer.record.reader import import_record, load_record
from tests import factories


@pytest.fixture
def demonstration(db: None) -> Build:
    data, today = load_record(RECORD), timezone.localdate()
    return import_record(data, shift_days=whole_weeks_to(today, data), today=today).build


@pytest.fixture
def young_build(db: None) -> Build:
    """Fifteen parts, most with a rough time alone, three weeks of evenings, and a price for the counter."""
    today = timezone.localdate()
    steel = Material(name="Mild steel", density=7850.0, cutting_speed=27.5)
    steel.save()
    build = factories.make_build(
        "Mill engine",
        started_on=today - timedelta(days=30),
        scale="1:12",
        for_counter=True,
        hourly_figure=Decimal("24.00"),
        currency="€",
    )
    assembly = factories.make_assembly(build, "Frame")
    parts = [_young_part(build, number, assembly=assembly, material=steel) for number in range(1, 16)]
    _evenings(build, parts, today)
    return build


def _young_part(build: Build, number: int, **fields: Any) -> Any:
    """Every third part has a detailed route, counted by the hole and by the piece; the others a rough "making"."""
    rough: list[dict[str, Any]] = [{"kind": "making", "minutes_per_unit": 37.0 + 13 * number, "origin": "rough"}]
    detailed = [
        {"kind": "turning", "minutes_per_unit": 7.35, "setup_minutes": 25.0},
        {"kind": "drilling", "basis": "hole", "amount": 6.0, "minutes_per_unit": 7.5 + number / 7},
        {"kind": "milling", "basis": "cubic centimetre", "amount": 4.25, "minutes_per_unit": 3.2},
    ]
    return factories.make_part(
        build,
        str(100 + number),
        f"Part {number}",
        operations=rough if number % 3 else detailed,
        quantity=number,
        blank=f"{8 + number} mm round × {20 + 3 * number} mm",
        blank_cost=Decimal("0.37") * number,
        finished_mass_grams=4.0 + number,
        **fields,
    )


def _evenings(build: Build, parts: list[Any], today: date) -> None:
    for evening in range(9):
        part = parts[(2 + 3 * evening) % 15]
        step = part.operations.first()
        on = today - timedelta(days=21 - 2 * evening)
        good, scrap = max(1, part.quantity // 2), evening % 2
        _evening(build, today, on, 85 + 7 * evening, part=part, operation=step, good=good, scrap=scrap)
    _evening(build, today, today - timedelta(days=2), 65, activity="buying")


def _evening(build: Build, today: date, on: date, minutes: int, **fields: Any) -> None:
    record_entry(build=build, line=LogLine(worked_on=on, bench_minutes=minutes, **fields), by=None, today=today)
