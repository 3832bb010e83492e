"""A record is the whole build: a field that joins a model joins the record too, or is named here with the reason."""

import pytest
from django.db import models

from builds.models import (
    Assembly,
    Batch,
    Build,
    Closure,
    Drawing,
    Entry,
    Exhibit,
    Instrument,
    Machine,
    Material,
    Measurement,
    Milestone,
    Need,
    Offer,
    Operation,
    Part,
    Photo,
    Remark,
    Sheet,
    Size,
    Stock,
)  # fmt: skip

# Fields that a record leaves out. Of every model: the number that a database gives, and what a row belongs to, which
# the record says by where the row stands.
LEFT_OUT: dict[type[models.Model], set[str]] = {
    # Names of this database, and how often it was changed here.
    Build: {"uid", "slug", "revision", "version", "created_at"},
    # The order in the file is the order.
    Assembly: {"build", "position"},
    Part: {"build", "position", "version"},
    Milestone: {"build", "position"},
    Sheet: {"build"},
    Remark: {"sheet"},
    # Pictures are made of the file again wherever it comes to.
    Drawing: {"sheet", "state", "refusal", "pages", "added_by", "added_at"},
    Size: {"part"},
    Operation: {"part", "version"},
    # What waits is the part or the operation that it stands in.
    Need: {"part", "operation"},
    Batch: set(),
    Closure: {"build"},
    # Removed entries are not carried, so none is marked as removed.
    Entry: {"build", "version", "recorded_at", "removed_at"},
    Machine: set(),
    Instrument: set(),
    Measurement: {"version"},
    Material: set(),
    Stock: set(),
    Offer: set(),
    Photo: {"build", "added_at"},
    Exhibit: {"build"},
}
CARRIED: dict[type[models.Model], set[str]] = {
    Build: {
        "name", "subject", "scale", "units", "started_on", "wished_finish_on", "state", "finished_on", "for_visitors",
        "on_board", "date_on_board", "activities_counted", "for_counter", "hourly_figure", "currency", "budget",
        "general_tolerance", "machines", "materials",
    },
    Assembly: {"name", "parent"},
    Part: {
        "assembly", "sheet", "number", "name", "quantity", "spares", "material", "role", "blank", "blank_cost",
        "finished_mass_grams", "supplier", "ordered_on", "arrived_on", "for_visitors", "note", "finished_on",
        "waiting_for", "waiting_since_on", "waiting_note", "place",
    },
    Milestone: {"name", "parts", "assemblies", "operations", "reached_on"},
    Sheet: {"number", "title", "revision"},
    Remark: {"drawing_says", "we_made", "noted_on", "by", "page", "across", "down"},
    Drawing: {"file", "name", "revision", "in_book"},
    Size: {"name", "full_size", "made", "reason"},
    Operation: {
        "number", "kind", "title", "machine", "setup_minutes", "basis", "amount", "minutes_per_unit", "origin",
        "unattended_share", "slip_costs_time", "note", "worked", "added_on",
    },
    Need: {"needed_part", "needed_operation"},
    Batch: {"part", "number", "blanks", "started_on", "note"},
    Closure: {"from_on", "to_on", "reason", "hours_per_week"},
    Entry: {
        "builder", "worked_on", "since_on", "part", "operation", "batch", "activity", "bench_minutes", "bench_is",
        "unattended_minutes", "good", "reworked", "scrap", "scrap_reason", "note", "oddities",
        "token",
    },
    Machine: {
        "name", "kind", "speeds", "speed_low", "speed_high", "power_watts", "note", "out_of_order_since_on",
        "out_of_order_note",
    },
    Material: {"name", "density", "cutting_speed", "cutting_speed_carbide", "note"},
    Instrument: {"name", "uncertainty", "note"},
    Measurement: {
        "size", "batch", "piece", "operation", "typed", "millimetres", "gauged", "instrument", "measured_on", "by",
        "token",
    },
    Stock: {"material", "section", "length", "units", "pieces", "note"},
    Offer: {"material", "section", "length", "units", "price", "supplier"},
    Photo: {"part", "entry", "image", "caption", "taken_on", "for_visitors"},
    Exhibit: {
        "real_length", "real_height", "model_length", "model_height", "what_it_did", "how_it_works", "bench_words",
        "bench_words_on", "names_shown", "photos_shown", "hours_shown", "scrap_shown", "language", "seconds_a_panel",
    },
}  # fmt: skip


@pytest.mark.parametrize("model", list(CARRIED), ids=lambda model: model.__name__)
def test_every_field_is_carried_or_left_out_for_a_reason(model: type[models.Model]) -> None:
    fields = {field.name for field in (*model._meta.concrete_fields, *model._meta.local_many_to_many)}
    assert fields - {"id"} == CARRIED[model] | LEFT_OUT[model]
