"""The records and their constraints; one noun a file."""

from builds.models.assembly import Assembly
from builds.models.batch import Batch
from builds.models.build import Build
from builds.models.builder import Builder
from builds.models.clock import Clock
from builds.models.closure import Closure
from builds.models.entry import Entry
from builds.models.event import Event
from builds.models.exhibit import Exhibit
from builds.models.machine import Machine
from builds.models.material import Material
from builds.models.milestone import Milestone
from builds.models.need import Need
from builds.models.operation import Operation
from builds.models.part import Part
from builds.models.photo import Photo
from builds.models.sheet import Remark, Sheet
from builds.models.shop import Shop
from builds.models.size import Size
from builds.models.stock import Offer, Stock
from builds.models.total import Total

# What leans on nothing stands first: what is undone comes back in this order and goes in the opposite one.
KEPT_WITH_HISTORY = (
    Build,
    Assembly,
    Sheet,
    Remark,
    Part,
    Operation,
    Need,
    Size,
    Batch,
    Milestone,
    Closure,
    Entry,
    Photo,
    Exhibit,
    Stock,
)

__all__ = [
    "KEPT_WITH_HISTORY",
    "Assembly",
    "Batch",
    "Build",
    "Builder",
    "Clock",
    "Closure",
    "Entry",
    "Event",
    "Exhibit",
    "Machine",
    "Material",
    "Milestone",
    "Need",
    "Offer",
    "Operation",
    "Part",
    "Photo",
    "Remark",
    "Sheet",
    "Shop",
    "Size",
    "Stock",
    "Total",
]
