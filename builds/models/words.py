"""The words that records choose from. The record file uses the same values, so they never change once landed."""

from django.db import models


class Kind(models.TextChoices):
    """What is done at an operation."""

    SAWING = "sawing"
    TURNING = "turning"
    FACING = "facing"
    BORING = "boring"
    PARTING = "parting"
    MILLING = "milling"
    DRILLING = "drilling"
    REAMING = "reaming"
    TAPPING = "tapping"
    THREADING = "threading"
    GRINDING = "grinding"
    LAPPING = "lapping"
    HONING = "honing"
    SHAPING = "shaping"
    FILING = "filing"
    HEAT_TREATMENT = "heat treatment"
    SOLDERING = "soldering"
    CASTING = "casting"
    PRINTING = "printing"
    DEBURRING = "deburring"
    INSPECTING = "inspecting"
    FITTING = "fitting"
    FINISHING = "finishing"
    MAKING = "making"


class Activity(models.TextChoices):
    """Shop time: bench hours that no operation takes."""

    FIXTURES = "fixtures and tools"
    DRAWINGS = "drawings and sums"
    FINISHING = "finishing"
    TIDYING = "tidying"
    BUYING = "buying"
    OTHER = "other"


class Basis(models.TextChoices):
    """What an operation's time is counted by."""

    PIECE = "piece"
    HOLE = "hole"
    CUBIC_CENTIMETRE = "cubic centimetre"
    TOOTH = "tooth"
    CENTIMETRE_OF_CUT = "centimetre of cut"


class Origin(models.TextChoices):
    """Where an operation's minutes for one unit came from."""

    BY_HAND = "by hand"
    ROUGH = "rough"
    OWN_RATE = "own rate"
    WORKED_OUT = "worked out"
    STARTER_TABLE = "starter table"


class Units(models.TextChoices):
    MM = "mm", "millimetres"
    INCH = "in", "inches"


class BuildState(models.TextChoices):
    ACTIVE = "active", "under way"
    RESTING = "resting", "resting"
    FINISHED = "finished", "finished"


class Source(models.TextChoices):
    MADE = "made", "made here"
    BOUGHT = "bought", "bought in"


class WaitingFor(models.TextChoices):
    MATERIAL = "material"
    POST = "post", "the post"
    DRYING = "drying"
    PERSON = "person", "a person"
    WEATHER = "weather"


class TimeIs(models.TextChoices):
    """How sure a logged time is. An unknown time is not a zero."""

    EXACT = "exact"
    ROUGH = "rough"
    UNKNOWN = "unknown", "not known"


def one_of(field: str, choices: type[models.TextChoices], name: str, *, blank: bool = False) -> models.CheckConstraint:
    """A constraint that holds a text field to its choices in the database as well."""
    values = [*choices.values, ""] if blank else choices.values
    return models.CheckConstraint(
        condition=models.Q(**{f"{field}__in": values}),
        name=name,
        violation_error_message=f"Choose one of: {', '.join(str(label) for label in choices.labels)}.",
    )
