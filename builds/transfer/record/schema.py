"""The record file, version 1: what stands in it, in the order in which it is written.

Reading, writing, the published JSON Schema and the table in DEVELOPERS.md all come from these models. A field has the
name of the model's column that keeps it, and an alias where the file has another name for it. References are by
number or name; they are tied once the whole file has been checked.
"""

from typing import Annotated, Literal

from pydantic import Field

from builds import models
from builds.models.build import every_activity
from builds.models.choices import Basis, BuildState, Origin, Role, TimeIs, Units
from builds.services.plan.photos import LARGEST_UPLOAD
from builds.transfer.files import MOST_MINUTES
from builds.transfer.record import allowed
from builds.transfer.record.fields import (
    TEXT,
    Count,
    Day,
    Inside,
    Minutes,
    Reference,
    Refused,
    Remarked,
    money,
    not_negative,
    optional,
    positive,
    rows,
    text,
    whole,
)
from builds.transfer.record.measured import Measurement
from builds.transfer.record.row import Row, Rule
from builds.transfer.record.sheets import Sheet
from builds.transfer.record.shop import Instrument, Machine, Material, Offer, Stock
from builds.transfer.record.visitors import Exhibit
from calcs.messages import gettext_noop

FORMAT = "swarfbook-record"
VERSION = 1


class Build(Row):
    """The title block."""

    name: text(models.Build.name, needed=True)
    subject: text(models.Build.subject) = ""
    scale: text(models.Build.scale) = ""
    units: allowed.UnitsOfBuild = Units.MM.value
    general_tolerance: text(models.Build.general_tolerance) = optional(
        "", description="of sizes without limits: a class of ISO 2768, or so much either way; as typed"
    )
    started_on: Day | None = None
    wished_finish_on: Day | None = None
    state: allowed.StateOfBuild = optional(BuildState.ACTIVE.value)
    finished_on: Day | None = optional(description="left out of a finished build: the last day in its log")
    on_board: bool = optional(False)
    date_on_board: bool = optional(True)
    for_visitors: text(models.Build.for_visitors) = optional("")
    activities_counted: rows(allowed.ShopTime) = optional(every_activity())
    for_counter: bool = optional(False, description="made in batches to be sold")
    hourly_figure: money(999_999) | None = optional(description="what an hour costs")
    currency: text(models.Build.currency) = optional("", description="its sign")
    budget: money(99_999_999) | None = optional(description="for material and bought parts")

    rules = [
        Rule("wished_finish_on", gettext_noop("The wished finish lies before the start."),
             lambda row: row.started_on and row.wished_finish_on and row.wished_finish_on < row.started_on),
        Rule("finished_on", gettext_noop("Only a finished build has a day on which it was."),
             lambda row: row.finished_on and row.state != BuildState.FINISHED),
        Rule("finished_on", gettext_noop("The build was finished before its start."),
             lambda row: row.started_on and row.finished_on and row.finished_on < row.started_on),
    ]  # fmt: skip


class Assembly(Row):
    """A named group of parts; it may stand in another."""

    name: text(models.Assembly.name, needed=True)
    parent: Reference | None = None


class Size(Row):
    """One size of a part, as typed."""

    name: text(models.Size.name, needed=True)
    full_size: text(models.Size.full_size) = ""
    made: text(models.Size.made) = ""
    reason: text(models.Size.reason) = optional("")


class Need(Row):
    """What has to be done before the part or the operation that it stands in can be begun: a part, or one operation."""

    needed_part: Reference = Field(alias="part")
    needed_operation: Reference | None = optional(alias="operation", description="left out: the part as a whole")


class Operation(Row):
    """One step of a part's route."""

    number: whole() | None = None
    kind: allowed.KindOfOperation
    title: text(models.Operation.title) = ""
    setup_minutes: not_negative(MOST_MINUTES) = 0.0
    basis: allowed.Counted = Basis.PIECE.value
    amount: positive() = 1.0
    minutes_per_unit: not_negative(MOST_MINUTES) | None = Field(None, description="left out or null: no figure yet")
    unattended_share: not_negative(1) = 0.0
    origin: allowed.OriginOfFigure = optional(Origin.BY_HAND.value)
    machine: Reference | None = optional()
    slip_costs_time: bool = optional(False, description="a slip costs time here, never the piece")
    note: text(models.Operation.note) = optional("")
    worked: Inside | None = optional(
        description="how the time was worked out: `inputs` as typed, `minutes`, the shop's `figures` it stood on, `on`"
    )
    added_on: Day | None = optional(description="when it joined the plan")
    needs: rows(Need) = optional([])


class Part(Row):
    """A part with its route."""

    number: text(models.Part.number, needed=True, or_number=True)
    name: text(models.Part.name, needed=True)
    assembly: Reference | None = None
    sheet: Reference | None = None
    quantity: whole(least=1) = 1
    spares: Count = 0
    material: Reference | None = None
    source: allowed.SourceOfPart = optional(allowed.Source.MADE.value)
    role: allowed.RoleOfPart = optional("", description="left out: what `source` says")
    for_visitors: text(models.Part.for_visitors) = optional("")
    note: text(models.Part.note) = optional("")
    blank: text(models.Part.blank) = optional("", description="its stock, as typed")
    finished_mass_grams: positive() | None = optional()
    blank_cost: money(9_999_999) | None = optional(
        description="material for one, or the price of one bought; left out is not known, 0 is free"
    )
    supplier: text(models.Part.supplier) = optional("", description="of what comes by post")
    ordered_on: Day | None = optional()
    arrived_on: Day | None = optional()
    finished_on: Day | None = optional()
    waiting_for: allowed.Awaited = optional("")
    waiting_since_on: Day | None = optional(alias="waiting_since")
    waiting_note: text(models.Part.waiting_note) = optional("")
    place: whole(least=1) | None = optional(
        alias="working_order", description="what is to be made first, by hand: 1, 2 and so on; left out: no say"
    )
    sizes: rows(Size) = optional([])
    needs: rows(Need) = optional([])
    operations: rows(Operation) = []

    rules = [
        Rule("role", gettext_noop("A part whose source is bought can have no other role."),
             lambda row: row.source == allowed.Source.BOUGHT and row.role not in ("", Role.BOUGHT)),
        Rule("quantity", gettext_noop("Work on an assembly has no pieces: it is needed once, without spares."),
             lambda row: row.role == Role.ASSEMBLY_WORK and (row.quantity, row.spares) != (1, 0)),
        Rule("arrived_on", gettext_noop("It arrived before it was ordered."),
             lambda row: row.ordered_on and row.arrived_on and row.arrived_on < row.ordered_on),
        Rule("waiting_since", allowed.WAITS_SINCE, lambda row: row.waiting_for and row.waiting_since_on is None),
        Rule("waiting_for", allowed.WAITS_SINCE, lambda row: row.waiting_since_on is not None and not row.waiting_for),
    ]  # fmt: skip


class Batch(Row):
    """Blanks of one part that go through its route together."""

    part: Reference
    number: whole() | None = None
    blanks: whole(least=1)
    started_on: Day
    note: text(models.Batch.note) = optional("")


class Closure(Row):
    """Days without work, or with a pace of their own."""

    from_on: Day = Field(alias="from")
    to_on: Day = Field(alias="to")
    reason: text(models.Closure.reason) = ""
    hours_per_week: not_negative(168) = optional(0.0, description="expected pace; 0 is closed")

    rules = [
        Rule("to", gettext_noop("The last day lies before the first."), lambda row: row.to_on < row.from_on),
    ]


class Step(Row):
    """One operation of a part, by the part's number and its own: the work of the route up to and with it."""

    part: Reference
    operation: Reference


class Milestone(Row):
    """Parts, assemblies and operations that together let something happen for the first time."""

    name: text(models.Milestone.name, needed=True)
    parts: rows(Reference) = []
    assemblies: rows(Reference) = []
    operations: rows(Step) = optional([])
    reached_on: Day | None = optional()


class Entry(Row):
    """One line of the log: for a part, or for shop time."""

    worked_on: Day = Field(alias="date")
    since_on: Day | None = optional(alias="since", description="where the work of several days is one line")
    builder: text(models.Builder.name) | None = optional()
    part: Reference | None = optional()
    # Left out, it is the only one of a route of one; null says that it was none in particular.
    operation: Reference | None = Field(None, description="null: none in particular")
    activity: allowed.ShopTime = optional("")
    bench_minutes: Minutes | None = None
    bench_is: allowed.SureOfTime = optional(TimeIs.EXACT.value)
    unattended_minutes: Minutes = optional(0)
    good: Count = optional(0)
    reworked: Count = optional(0)
    scrap: Count = optional(0)
    scrap_reason: text(models.Entry.scrap_reason) = optional("")
    batch: Count | None = optional()
    note: text(models.Entry.note) = optional("")
    oddities: rows(Remarked) = optional(
        [], description="what was odd about it when it was logged: `oddity`, its figures"
    )
    token: text(models.Entry.token) = Field(
        "", description="known again by it; left out, one is made from what is said"
    )

    rules = [
        Rule("since", gettext_noop("The day it began lies after the date of the entry."),
             lambda row: row.since_on is not None and row.since_on > row.worked_on),
        Rule("operation", gettext_noop("An operation belongs to a part: say which part."),
             lambda row: row.operation is not None and not row.part),
        Rule("activity", allowed.PART_OR_SHOP_TIME, lambda row: row.part and row.activity),
        Rule("part", allowed.PART_OR_SHOP_TIME, lambda row: not row.part and not row.activity),
        Rule("bench_minutes", gettext_noop("The time is said to be unknown, so there can be no minutes."),
             lambda row: row.bench_is == TimeIs.UNKNOWN and row.bench_minutes is not None),
        Rule("bench_minutes", gettext_noop('Give the bench time, or say "bench_is": "unknown".'),
             lambda row: row.bench_is != TimeIs.UNKNOWN and row.bench_minutes is None),
        Rule("reworked", gettext_noop("The pieces put right are some of the good ones, so they cannot be more."),
             lambda row: row.reworked > row.good),
        Rule("good", allowed.PIECES_OF_A_PART, lambda row: row.good and not row.part),
        Rule("scrap", allowed.PIECES_OF_A_PART, lambda row: row.scrap and not row.part),
    ]  # fmt: skip


class Photo(Row):
    """A picture of the build, of a part or of an entry."""

    name: Annotated[str, Field(max_length=200, pattern=TEXT)] = "photo"
    caption: text(models.Photo.caption) = ""
    part: Reference | None = optional()
    entry: Reference | None = optional(description="its token")
    taken_on: Day | None = optional()
    for_visitors: bool = optional(False)
    content: Annotated[str, Field(max_length=LARGEST_UPLOAD * 4 // 3 + 4)] = Field(description="base64")


class Record(Row):
    """A whole build. What is optional and stands at its default is left out of the file.

    References are by number or name. Entries that were removed, running clocks and who may sign in are no part of it.
    """

    format: Annotated[Literal[FORMAT], Refused(allowed.UNKNOWN_FORMAT, known=FORMAT)]
    version: Annotated[int, Field(ge=VERSION, le=VERSION), Refused(allowed.UNKNOWN_VERSION, known=VERSION)]
    build: Build
    machines: rows(Machine) = []
    materials: rows(Material) = []
    stock: rows(Stock) = optional([])
    offers: rows(Offer) = optional([])
    instruments: rows(Instrument) = optional([])
    assemblies: rows(Assembly) = []
    sheets: rows(Sheet) = []
    parts: rows(Part) = []
    batches: rows(Batch) = []
    closures: rows(Closure) = []
    milestones: rows(Milestone) = []
    entries: rows(Entry) = []
    measurements: rows(Measurement) = optional([])
    exhibit: Exhibit | None = optional()
    photos: rows(Photo) = optional([])
