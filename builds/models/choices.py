"""The words that records choose from. The record file uses the same values, so they never change once landed."""

from django.db import models
from django.utils.translation import gettext_lazy


class Kind(models.TextChoices):
    """What is done at an operation."""

    SAWING = "sawing", gettext_lazy("sawing")
    TURNING = "turning", gettext_lazy("turning")
    FACING = "facing", gettext_lazy("facing")
    BORING = "boring", gettext_lazy("boring")
    PARTING = "parting", gettext_lazy("parting")
    MILLING = "milling", gettext_lazy("milling")
    DRILLING = "drilling", gettext_lazy("drilling")
    REAMING = "reaming", gettext_lazy("reaming")
    TAPPING = "tapping", gettext_lazy("tapping")
    THREADING = "threading", gettext_lazy("threading")
    GRINDING = "grinding", gettext_lazy("grinding")
    LAPPING = "lapping", gettext_lazy("lapping")
    HONING = "honing", gettext_lazy("honing")
    SHAPING = "shaping", gettext_lazy("shaping")
    FILING = "filing", gettext_lazy("filing")
    HEAT_TREATMENT = "heat treatment", gettext_lazy("heat treatment")
    SOLDERING = "soldering", gettext_lazy("soldering")
    CASTING = "casting", gettext_lazy("casting")
    PRINTING = "printing", gettext_lazy("printing")
    DEBURRING = "deburring", gettext_lazy("deburring")
    INSPECTING = "inspecting", gettext_lazy("inspecting")
    FITTING = "fitting", gettext_lazy("fitting")
    FINISHING = "finishing", gettext_lazy("finishing")
    MAKING = "making", gettext_lazy("making")


class Activity(models.TextChoices):
    """Shop time: bench hours that no operation takes."""

    FIXTURES = "fixtures and tools", gettext_lazy("fixtures and tools")
    DRAWINGS = "drawings and sums", gettext_lazy("drawings and sums")
    FINISHING = "finishing", gettext_lazy("finishing")
    TIDYING = "tidying", gettext_lazy("tidying")
    BUYING = "buying", gettext_lazy("buying")
    OTHER = "other", gettext_lazy("other")


class Basis(models.TextChoices):
    """What an operation's time is counted by."""

    PIECE = "piece", gettext_lazy("piece")
    HOLE = "hole", gettext_lazy("hole")
    CUBIC_CENTIMETRE = "cubic centimetre", gettext_lazy("cubic centimetre")
    TOOTH = "tooth", gettext_lazy("tooth")
    CENTIMETRE_OF_CUT = "centimetre of cut", gettext_lazy("centimetre of cut")


class Origin(models.TextChoices):
    """Where an operation's minutes for one unit came from."""

    BY_HAND = "by hand", gettext_lazy("by hand")
    ROUGH = "rough", gettext_lazy("rough")
    OWN_RATE = "own rate", gettext_lazy("own rate")
    WORKED_OUT = "worked out", gettext_lazy("worked out")
    STARTER_TABLE = "starter table", gettext_lazy("starter table")


class Units(models.TextChoices):
    MM = "mm", gettext_lazy("millimetres")
    INCH = "in", gettext_lazy("inches")


class BuildState(models.TextChoices):
    ACTIVE = "active", gettext_lazy("under way")
    RESTING = "resting", gettext_lazy("resting")
    FINISHED = "finished", gettext_lazy("finished")


class Role(models.TextChoices):
    """What a part is: only details are drawn, made and counted towards the engine."""

    DETAIL = "detail", gettext_lazy("detail")
    BOUGHT = "bought", gettext_lazy("bought in")
    JIG = "jig", gettext_lazy("jig or tool")
    ASSEMBLY_WORK = "work on an assembly", gettext_lazy("work on an assembly")


class WaitingFor(models.TextChoices):
    MATERIAL = "material", gettext_lazy("material")
    POST = "post", gettext_lazy("the post")
    DRYING = "drying", gettext_lazy("drying")
    PERSON = "person", gettext_lazy("a person")
    WEATHER = "weather", gettext_lazy("weather")


class TimeIs(models.TextChoices):
    """How sure a logged time is. An unknown time is not a zero."""

    EXACT = "exact", gettext_lazy("exact")
    ROUGH = "rough", gettext_lazy("rough")
    UNKNOWN = "unknown", gettext_lazy("not known")


class DrawingState(models.TextChoices):
    """How far the pictures of a scanned drawing have come."""

    WAITING = "waiting", gettext_lazy("being made")
    READY = "ready", gettext_lazy("ready")
    REFUSED = "refused", gettext_lazy("cannot be shown")


class Gauged(models.TextChoices):
    """What a limit gauge says of a piece."""

    GO = "go", gettext_lazy("goes, and the no-go does not")
    NO_GO = "no go", gettext_lazy("out of its limits")


class PersonRole(models.TextChoices):
    """What somebody who signs in may do (permissions.py)."""

    OWNER = "owner", gettext_lazy("owner")
    BUILDER = "builder", gettext_lazy("builder")
    ONLOOKER = "onlooker", gettext_lazy("onlooker")


class EventType(models.TextChoices):
    """What was done to a build, or to the shop as a whole. The sentence that each one makes stands in `event_words`."""

    BEGIN_BUILD = "begin build"
    EDIT_BUILD = "edit build"
    ADD = "add"
    EDIT = "edit"
    REMOVE = "remove"
    ADD_OPERATION = "add operation"
    MOVE_OPERATION = "move operation"
    COPY_PART = "copy part"
    COPY_ROUTE = "copy route"
    WORKING_ORDER = "working order"
    WORK_OUT = "work out"
    APPLY_RATES = "apply rates"
    ADD_PHOTO = "add photo"
    REMOVE_PHOTO = "remove photo"
    LOG = "log"
    AMEND_ENTRY = "amend entry"
    REMOVE_ENTRY = "remove entry"
    MEASURE = "measure"
    IMPORT_RECORD = "import record"
    IMPORT_PARTS = "import parts"
    IMPORT_LOG = "import log"
    SIGN_IN = "sign in"
    SIGN_OUT = "sign out"
    SIGN_IN_REFUSED = "sign in refused"
    SIGN_OUT_EVERYWHERE = "sign out everywhere"
    ADD_PERSON = "add person"
    SET_ROLE = "set role"
    SET_PASSWORD = "set password"  # noqa: S105
    BAR = "bar"
    LET_IN = "let in"
    BACK_UP = "back up"
    RESTORE = "restore"
    HAND_OVER = "hand over"
    UNDO = "undo"
    OTHER = "other"
