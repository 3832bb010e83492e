"""How many parts are made, by what they are: details make the engine, all else is counted apart."""

from collections.abc import Iterable
from dataclasses import dataclass

from builds.models.choices import Role
from builds.queries.snapshot import PartRow
from calcs.messages import _, gettext_noop

LABELS = {
    Role.DETAIL: gettext_noop("Details"),
    Role.BOUGHT: gettext_noop("Bought in"),
    Role.JIG: gettext_noop("Jigs and tools"),
    Role.ASSEMBLY_WORK: gettext_noop("Work on assemblies"),
}
IN_WORDS = {
    Role.DETAIL: gettext_noop("{made} of {of}"),
    Role.BOUGHT: gettext_noop("{made} of {of} bought in"),
    Role.JIG: gettext_noop("{made} of {of} jigs and tools"),
    Role.ASSEMBLY_WORK: gettext_noop("{made} of {of} jobs on assemblies"),
}


@dataclass(frozen=True)
class RoleCount:
    """Of the parts of one role: how many are finished, and how many there are."""

    role: Role
    made: int
    of: int

    @property
    def label(self) -> str:
        return _(LABELS[self.role])

    @property
    def words(self) -> str:
        """Such as "3 of 7 jigs and tools"; of details just "37 of 68"."""
        return _(IN_WORDS[self.role], made=self.made, of=self.of)

    @property
    def figures(self) -> str:
        return _(IN_WORDS[Role.DETAIL], made=self.made, of=self.of)


@dataclass(frozen=True)
class PartCounts:
    """`others` are those roles besides details that any part has."""

    details: RoleCount
    others: tuple[RoleCount, ...]

    @property
    def all(self) -> tuple[RoleCount, ...]:
        """A line for each role that any part has."""
        return (self.details, *self.others) if self.details.of else self.others

    @property
    def words(self) -> str:
        """The same in one line: "5 of 6 · 1 of 2 bought in"."""
        return " · ".join(count.words for count in self.all)


def counts_of(lines: Iterable[PartRow]) -> PartCounts:
    """Count parts by their roles; a part counts as made where `quantity_made` says so."""
    by_role: dict[Role, list[bool]] = {role: [] for role in Role}
    for line in lines:
        by_role[line.part.counts_as].append(line.quantity_made)
    details, *others = (RoleCount(role, sum(made), len(made)) for role, made in by_role.items())
    return PartCounts(details, tuple(count for count in others if count.of))
