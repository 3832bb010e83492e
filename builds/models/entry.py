"""One line of the log."""

import uuid

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy

from builds.models.batch import Batch
from builds.models.build import Build
from builds.models.builder import Builder
from builds.models.choices import Activity, TimeIs
from builds.models.constraints import must, one_of
from builds.models.history import Versioned, kept_history
from builds.models.oddity import oddity_of
from builds.models.operation import Operation
from builds.models.part import Part
from calcs.messages import _


def new_token() -> str:
    return uuid.uuid4().hex


class EntryQuerySet(models.QuerySet["Entry"]):
    def kept(self) -> "EntryQuerySet":
        """Without the removed ones, which stay in the table so that a removal can be undone."""
        return self.filter(removed_at__isnull=True)


class Entry(Versioned):
    """One line of the log."""

    build = models.ForeignKey(Build, on_delete=models.CASCADE, related_name="entries")
    builder = models.ForeignKey(
        Builder, models.PROTECT, verbose_name=gettext_lazy("builder"), null=True, blank=True, related_name="entries"
    )
    worked_on = models.DateField(gettext_lazy("date"))
    # Set where one line lumps days together: the work was done from here up to worked_on.
    since_on = models.DateField(gettext_lazy("since"), null=True, blank=True)
    part = models.ForeignKey(
        Part, models.PROTECT, verbose_name=gettext_lazy("part"), null=True, blank=True, related_name="entries"
    )
    operation = models.ForeignKey(
        Operation, models.PROTECT, verbose_name=gettext_lazy("operation"), null=True, blank=True, related_name="entries"
    )
    batch = models.ForeignKey(
        Batch, models.PROTECT, verbose_name=gettext_lazy("batch"), null=True, blank=True, related_name="entries"
    )
    activity = models.CharField(max_length=20, choices=Activity, blank=True)
    bench_minutes = models.PositiveIntegerField(null=True, blank=True)
    bench_is = models.CharField(max_length=8, choices=TimeIs, default=TimeIs.EXACT)
    unattended_minutes = models.PositiveIntegerField(default=0)
    good = models.PositiveIntegerField(default=0)
    reworked = models.PositiveIntegerField(gettext_lazy("of them reworked"), default=0)
    scrap = models.PositiveIntegerField(default=0)
    scrap_reason = models.CharField(max_length=120, blank=True)
    note = models.TextField(blank=True, max_length=4000)
    # What was odd about it when it was logged, and stands because whoever logged it said so.
    oddities = models.JSONField(default=list, blank=True)
    # From the form that made it: a form sent twice makes one entry.
    token = models.CharField(max_length=64, default=new_token)
    recorded_at = models.DateTimeField(auto_now_add=True)
    removed_at = models.DateTimeField(null=True, blank=True)
    history = kept_history()

    objects = EntryQuerySet.as_manager()

    class Meta:
        ordering = ["-worked_on", "-pk"]
        verbose_name_plural = gettext_lazy("entries")
        indexes = [models.Index(fields=["build", "worked_on"], name="entry_by_day")]
        constraints = [
            one_of("activity", Activity, "entry_activity_known", blank=True),
            one_of("bench_is", TimeIs, "entry_time_known"),
            models.UniqueConstraint(fields=["build", "token"], name="entry_token_once"),
            must(
                "entry_part_or_activity",
                (Q(part__isnull=False) & Q(activity=""))
                | (Q(part__isnull=True) & Q(operation__isnull=True) & Q(batch__isnull=True) & ~Q(activity="")),
                gettext_lazy("An entry is for a part or for shop time: choose one of the two."),
            ),
            must(
                "entry_unknown_time_has_no_minutes",
                Q(bench_is="unknown", bench_minutes__isnull=True)
                | (~Q(bench_is="unknown") & Q(bench_minutes__isnull=False)),
                gettext_lazy("Give the bench time, or say that it is not known."),
            ),
            must(
                "entry_reworked_within_good",
                Q(reworked__lte=F("good")),
                gettext_lazy("The pieces put right are some of the good ones, so they cannot be more."),
            ),
            must(
                "entry_since_before_date",
                Q(since_on__isnull=True) | Q(since_on__lte=F("worked_on")),
                gettext_lazy("The day it began lies after the date of the entry."),
            ),
            must(
                "entry_pieces_need_a_part",
                Q(part__isnull=False) | Q(good=0, scrap=0),
                gettext_lazy("Pieces are counted at a part's operation, not in shop time."),
            ),
        ]

    @property
    def remarks(self) -> list[str]:
        """What was odd about it, in words."""
        return [oddity_of(one).words for one in self.oddities]

    def clean(self) -> None:
        """Work on an assembly is done or not: one good piece stands for "done", and nothing else is counted."""
        if self.part is not None and self.part.is_work and (self.good > 1 or self.scrap or self.reworked or self.batch):
            message = _(
                "{part} is work on an assembly: it has no pieces to count. Say that it is done.", part=self.part
            )
            raise ValidationError({"good": message})

    def __str__(self) -> str:
        return f"{self.worked_on}: {self.operation or self.part or self.get_activity_display()}"
