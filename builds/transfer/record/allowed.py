"""What a field of the record file may say, and the sentence for whatever it may not."""

from django.db.models import TextChoices

from builds.models.choices import Activity, Basis, BuildState, Gauged, Kind, Origin, Role, TimeIs, Units, WaitingFor
from builds.transfer.complaints import NOT_SHOP_TIME
from builds.transfer.record.fields import choice
from calcs.messages import gettext_noop


class Source(TextChoices):
    """How files have always told bought parts from all others; what else a part can be has its own field, `role`."""

    MADE = "made"
    BOUGHT = "bought"

    @classmethod
    def of(cls, role: str) -> str:
        return cls.BOUGHT.value if role == Role.BOUGHT else cls.MADE.value


UnitsOfBuild = choice(Units, gettext_noop("{value} is not a unit that drawings are in. Known units: {known}."))
StateOfBuild = choice(BuildState, gettext_noop("{value} is not a state of a build. Known states: {known}."))
ShopTime = choice(Activity, NOT_SHOP_TIME)
RoleOfPart = choice(Role, gettext_noop("{value} is not what a part can be. Known roles: {known}."))
SourceOfPart = choice(Source, gettext_noop("{value} is not a way to come by a part. Known ways: {known}."))
Awaited = choice(WaitingFor, gettext_noop("{value} is not something a part waits for. Known reasons: {known}."))
KindOfOperation = choice(Kind, gettext_noop("{value} is not a kind of operation. Known kinds: {known}."))
Counted = choice(Basis, gettext_noop("{value} is not something an operation is counted by. Known bases: {known}."))
OriginOfFigure = choice(Origin, gettext_noop("{value} is not where a figure can come from. Known origins: {known}."))
SaidByGauge = choice(Gauged, gettext_noop("{value} is nothing that a limit gauge says. Known: {known}."))
ONE_FIGURE = gettext_noop("Give the figure in millimetres, or say whether the gauge went: one of the two.")
UNKNOWN_FORMAT = gettext_noop('{value} is not known. A record of a build says "format": "{known}".')
UNKNOWN_VERSION = gettext_noop("Version {value} is not known here. This program reads version {known}.")
SureOfTime = choice(TimeIs, gettext_noop("{value} is not how a time can be known. Known ways: {known}."))
BOTH_SPEEDS = gettext_noop("Give both the lowest and the highest speed, the lowest first, or neither.")
OUT_OF_ORDER_SINCE = gettext_noop("Say since when it is out of order, or leave out what is wrong with it.")
WAITS_SINCE = gettext_noop("Say what the part waits for and since when, or leave both out.")
PART_OR_SHOP_TIME = gettext_noop("An entry is for a part or for shop time: give one of the two.")
PIECES_OF_A_PART = gettext_noop("Pieces are counted at a part's operation, not in shop time.")
