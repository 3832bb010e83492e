"""Names that tell of something else than a detail: a builder is offered the role, and settles it with one press."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from builds.models import Part
from builds.models.choices import Role

# Common practice: what parts lists call things that are no detail of the engine.
NAMES_OF_WORK = re.compile(
    r"\b(erect(ion|ing)?|(final|general|trial) assembly|assembl(y of|ing)|paint(ing)?|trial run(s|ning)?|trials?"
    r"|running[- ]in|test run|steam (test|trial)s?|commissioning)\b",
    re.IGNORECASE,
)
NAMES_OF_JIGS = re.compile(
    r"\b(jigs?|fixtures?|mandrels?|templates?|patterns?|(plug|ring|depth|height|thread|setting|snap|gap) gau?ges?"
    r"|tooling|(holding|special|forming) tools?|core ?box(es)?)\b",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class RoleOffer:
    """A part and the role that its name, or its assembly's, suggests; `others` are those it may have instead."""

    part: Part
    role: Role

    @property
    def others(self) -> tuple[Role, ...]:
        work = self.part.quantity_with_spares == 1
        return tuple(role for role in Role if role != self.role and (work or role != Role.ASSEMBLY_WORK))


def role_offers(parts: Iterable[Part]) -> tuple[RoleOffer, ...]:
    """Offers for the parts of which nobody has said what they are."""
    suggested = ((part, suggested_role(part)) for part in parts if not part.role)
    return tuple(RoleOffer(part, role) for part, role in suggested if role is not None)


def suggested_role(part: Part) -> Role | None:
    """What a part's name suggests, else what its assembly is called first; None for nothing but a detail.

    What is needed more than once is no work on an assembly, whatever it is called.
    """
    assembly = part.assembly.name if part.assembly else ""
    if NAMES_OF_JIGS.search(part.name) or NAMES_OF_JIGS.match(assembly):
        return Role.JIG
    once = part.quantity_with_spares == 1
    return Role.ASSEMBLY_WORK if once and (NAMES_OF_WORK.search(part.name) or NAMES_OF_WORK.match(assembly)) else None
