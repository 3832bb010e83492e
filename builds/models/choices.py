"""The words that records choose from. The record file uses the same values, so they never change once landed."""

from django.db import models


class Kind(models.TextChoices):
    """What is done at an operation."""

    SAWING = "sawing", "sawing"
    TURNING = "turning", "turning"
    FACING = "facing", "facing"
    BORING = "boring", "boring"
    PARTING = "parting", "parting"
    MILLING = "milling", "milling"
    DRILLING = "drilling", "drilling"
    REAMING = "reaming", "reaming"
    TAPPING = "tapping", "tapping"
    THREADING = "threading", "threading"
    GRINDING = "grinding", "grinding"
    LAPPING = "lapping", "lapping"
    HONING = "honing", "honing"
    SHAPING = "shaping", "shaping"
    FILING = "filing", "filing"
    HEAT_TREATMENT = "heat treatment", "heat treatment"
    SOLDERING = "soldering", "soldering"
    CASTING = "casting", "casting"
    PRINTING = "printing", "printing"
    DEBURRING = "deburring", "deburring"
    INSPECTING = "inspecting", "inspecting"
    FITTING = "fitting", "fitting"
    FINISHING = "finishing", "finishing"
    MAKING = "making", "making"


class Activity(models.TextChoices):
    """Shop time: bench hours that no operation takes."""

    FIXTURES = "fixtures and tools", "fixtures and tools"
    DRAWINGS = "drawings and sums", "drawings and sums"
    FINISHING = "finishing", "finishing"
    TIDYING = "tidying", "tidying"
    BUYING = "buying", "buying"
    OTHER = "other", "other"


class Basis(models.TextChoices):
    """What an operation's time is counted by."""

    PIECE = "piece", "piece"
    HOLE = "hole", "hole"
    CUBIC_CENTIMETRE = "cubic centimetre", "cubic centimetre"
    TOOTH = "tooth", "tooth"
    CENTIMETRE_OF_CUT = "centimetre of cut", "centimetre of cut"


class Origin(models.TextChoices):
    """Where an operation's minutes for one unit came from."""

    BY_HAND = "by hand", "by hand"
    ROUGH = "rough", "rough"
    OWN_RATE = "own rate", "own rate"
    WORKED_OUT = "worked out", "worked out"
    STARTER_TABLE = "starter table", "starter table"


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
    MATERIAL = "material", "material"
    POST = "post", "the post"
    DRYING = "drying", "drying"
    PERSON = "person", "a person"
    WEATHER = "weather", "weather"


class TimeIs(models.TextChoices):
    """How sure a logged time is. An unknown time is not a zero."""

    EXACT = "exact", "exact"
    ROUGH = "rough", "rough"
    UNKNOWN = "unknown", "not known"


def one_of(field: str, choices: type[models.TextChoices], name: str, *, blank: bool = False) -> models.CheckConstraint:
    """A constraint that holds a text field to its choices in the database as well."""
    values = [*choices.values, ""] if blank else choices.values
    return models.CheckConstraint(
        condition=models.Q(**{f"{field}__in": values}),
        name=name,
        violation_error_message=f"Choose one of: {', '.join(str(label) for label in choices.labels)}.",
    )
