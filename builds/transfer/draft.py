"""A build as it is read from a record file: checked, tied together, and not saved yet."""

from dataclasses import dataclass, field
from datetime import date

from builds.models import (
    Assembly,
    Batch,
    Build,
    Builder,
    Closure,
    Entry,
    Machine,
    Material,
    Milestone,
    Operation,
    Part,
    Photo,
    Remark,
    Sheet,
    Size,
)
from builds.transfer.references import Register


@dataclass
class PhotoDraft:
    photo: Photo
    name: str
    content: bytes


@dataclass
class MilestoneDraft:
    milestone: Milestone
    parts: list[Part]
    assemblies: list[Assembly]


@dataclass
class Draft:
    """Records that point at one another. Lists are in the order in which the file has them."""

    build: Build
    today: date
    notes: list[str] = field(default_factory=list)
    machines: Register[Machine] = field(default_factory=lambda: Register("machine", "machines"))
    materials: Register[Material] = field(default_factory=lambda: Register("material", "materials"))
    assemblies: Register[Assembly] = field(default_factory=lambda: Register("assembly", "assemblies"))
    sheets: Register[Sheet] = field(default_factory=lambda: Register("sheet", "sheets"))
    remarks: list[Remark] = field(default_factory=list)
    parts: Register[Part] = field(default_factory=lambda: Register("part", "parts"))
    # Both by the part's number, since a record that is not saved yet cannot be a key.
    routes: dict[str, list[Operation]] = field(default_factory=dict)
    batches: dict[str, dict[int, Batch]] = field(default_factory=dict)
    sizes: list[Size] = field(default_factory=list)
    closures: list[Closure] = field(default_factory=list)
    milestones: list[MilestoneDraft] = field(default_factory=list)
    builders: dict[str, Builder] = field(default_factory=dict)
    entries: dict[str, Entry] = field(default_factory=dict)
    photos: list[PhotoDraft] = field(default_factory=list)
