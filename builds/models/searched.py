"""What is looked through for words: of which records, and which of their texts."""

from dataclasses import dataclass

from django.db import models

from builds.models.assembly import Assembly
from builds.models.batch import Batch
from builds.models.entry import Entry
from builds.models.machine import Machine
from builds.models.material import Material
from builds.models.milestone import Milestone
from builds.models.operation import Operation
from builds.models.part import Part
from builds.models.photo import Photo
from builds.models.sheet import Remark, Sheet


@dataclass(frozen=True)
class Searched:
    """A model with the columns that call a record by its name, and those that tell more about it."""

    model: type[models.Model]
    called: tuple[str, ...]
    told: tuple[str, ...] = ()

    @property
    def columns(self) -> tuple[str, ...]:
        return self.called + self.told

    @property
    def table(self) -> str:
        return str(self.model._meta.db_table)

    @property
    def index(self) -> str:
        """What keeps its words."""
        return f"words_of_{self.model._meta.model_name}"


SEARCHED = (
    Searched(Part, ("number", "name"), ("note", "blank", "supplier", "waiting_note", "for_visitors")),
    Searched(Assembly, ("name",)),
    Searched(Operation, ("title",), ("note",)),
    Searched(Sheet, ("number", "title")),
    Searched(Remark, ("drawing_says", "we_made")),
    Searched(Entry, ("note",), ("scrap_reason",)),
    Searched(Batch, ("note",)),
    Searched(Photo, ("caption",)),
    Searched(Milestone, ("name",)),
    Searched(Machine, ("name",), ("kind", "note", "out_of_order_note")),
    Searched(Material, ("name",), ("note",)),
)
