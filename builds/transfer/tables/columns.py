"""The columns that tables may have, what each is called on screen, and the headings that people give it."""

from collections.abc import Mapping
from dataclasses import dataclass

from django.utils.translation import gettext_lazy

# A column: its words on screen, and the headings it is known by, plain; the first of them is the one we write.
Columns = Mapping[str, tuple[str, tuple[str, ...]]]

LOG: Columns = {
    "date": (
        gettext_lazy("Date"),
        ("date", "day", "worked on", "date worked", "when", "to", "until", "through", "week ending", "month", "period"),
    ),
    "year": (gettext_lazy("Year, where the date is a month’s name"), ("year",)),
    "since": (
        gettext_lazy("Since, for several days in one row"),
        ("since", "from", "begun", "first day", "week beginning"),
    ),
    "start": (gettext_lazy("Time of day it began"), ("start", "start time", "time in", "began at", "from time")),
    "end": (gettext_lazy("Time of day it ended"), ("end", "end time", "finish time", "time out", "ended at", "stop")),
    "hours": (
        gettext_lazy("Hours"),
        ("hours", "bench hours", "hours worked", "hrs", "h", "time", "duration", "time h", "bench time h", "hours h"),
    ),
    "minutes": (
        gettext_lazy("Minutes"),
        ("minutes", "bench minutes", "mins", "min", "bench time min", "time min", "minutes min", "duration min"),
    ),
    "meter": (
        gettext_lazy("Running total of hours"),
        (
            "meter", "hour meter", "running total", "total to date", "hours to date", "to date", "cumulative",
            "cumulative hours", "running hours", "meter reading", "total hours so far",
        ),
    ),
    "certainty": (gettext_lazy("How sure the time is"), ("time is", "how sure", "certainty")),
    "unattended": (gettext_lazy("Unattended minutes"), ("unattended min", "unattended minutes", "unattended")),
    "part": (
        gettext_lazy("Part"),
        (
            "part", "section", "item", "component", "part number", "part name", "parts", "sub assembly", "subassembly",
            "job", "detail", "worked at", "part no",
        ),
    ),
    "operation": (gettext_lazy("Operation"), ("operation", "step", "op", "operations", "process")),
    "builder": (gettext_lazy("Builder"), ("builder", "who", "worker", "person")),
    "good": (gettext_lazy("Good"), ("good", "pieces", "good pieces", "made", "passed", "qty good", "ok")),
    "reworked": (gettext_lazy("Of them reworked"), ("reworked", "rework", "put right", "of them reworked")),
    "scrap": (gettext_lazy("Scrap"), ("scrap", "scrapped", "spoiled", "rejects", "rejected", "lost")),
    "reason": (gettext_lazy("Reason for scrap"), ("reason", "scrap reason", "why", "reason for scrap", "cause")),
    "note": (
        gettext_lazy("Note"),
        ("note", "notes", "remark", "remarks", "comment", "comments", "description", "what was done", "details"),
    ),
    "activity": (gettext_lazy("Shop time"), ("activity", "shop time")),
    "batch": (gettext_lazy("Batch"), ("batch number", "batch no")),
    "mark": (gettext_lazy("Mark by which its entry is known"), ("row mark",)),
}  # fmt: skip


PARTS: Columns = {
    "number": (
        gettext_lazy("Item"),
        ("item", "item number", "item no", "part number", "part no", "number", "no", "pos"),
    ),
    "name": (gettext_lazy("Name"), ("name", "part", "part name", "description", "component")),
    "assembly": (gettext_lazy("Assembly"), ("assembly", "group", "section", "sub assembly", "subassembly")),
    "sheet": (gettext_lazy("Sheet"), ("sheet", "drawing sheet", "drawing", "drawing number", "drawing no")),
    "quantity": (gettext_lazy("Needed"), ("quantity", "needed", "qty", "number off", "no off", "off")),
    "spares": (gettext_lazy("Spares"), ("spares", "spare")),
    "material": (gettext_lazy("Material"), ("material",)),
    "role": (gettext_lazy("What it is"), ("what it is", "role")),
    "blank": (gettext_lazy("Blank, as typed"), ("blank", "stock", "stock size", "blank size")),
    "mass": (gettext_lazy("Finished mass, grams"), ("finished mass g", "mass g")),
    "cost": (gettext_lazy("Cost of one blank"), ("blank cost", "cost of one blank")),
    "note": (gettext_lazy("Note on the part"), ("part note", "note", "notes", "remark", "remarks")),
    "operation": (gettext_lazy("Number of the operation"), ("operation", "operation number", "op", "op no", "step")),
    "kind": (gettext_lazy("Kind of operation"), ("kind", "kind of operation", "process")),
    "title": (gettext_lazy("Title of the operation"), ("title", "operation title", "what is done")),
    "machine": (gettext_lazy("Machine"), ("machine",)),
    "setup": (gettext_lazy("Set-up, minutes"), ("set up min", "setup min", "set up", "setup")),
    "basis": (gettext_lazy("Counted by"), ("counted by",)),
    "amount": (gettext_lazy("Amount per piece"), ("amount", "amount per piece")),
    "time": (
        gettext_lazy("Minutes for one"),
        ("time for one min", "minutes for one", "minutes", "min", "time min", "time for one", "planned time", "time"),
    ),
    "share": (gettext_lazy("Unattended share"), ("unattended share",)),
    "operation note": (gettext_lazy("Note on the operation"), ("operation note",)),
}


@dataclass(frozen=True)
class TableKind:
    """What a table is about. needed: of each group one column has to be there."""

    columns: Columns
    needed: tuple[tuple[str, ...], ...]

    def names(self, column: str) -> tuple[str, ...]:
        return self.columns[column][1]


KINDS = {
    "parts": TableKind(PARTS, (("number", "name"),)),
    "log": TableKind(LOG, (("date",), ("hours", "minutes", "meter", "start"), ("part", "activity"))),
}
