"""Who did what."""

from django.db import models
from django.utils import timezone

from builds.models.build import Build
from builds.models.builder import Builder
from builds.models.choices import EventType
from builds.models.constraints import one_of
from builds.models.event_words import event_text


class Event(models.Model):
    """Who did what to a build, and at which revision. Undoing one leaves another.

    One without a build was done to the shop as a whole: at its doors, to its people, machines, materials or backups.
    """

    build = models.ForeignKey(Build, on_delete=models.CASCADE, null=True, blank=True, related_name="events")
    revision = models.PositiveIntegerField(default=0)
    happened_at = models.DateTimeField(default=timezone.now)
    by = models.ForeignKey(Builder, on_delete=models.SET_NULL, null=True, blank=True, related_name="events")
    type = models.CharField(max_length=20, choices=EventType)
    # The figures and names that its sentence speaks of, as they were then; which ones, `event_words` says.
    details = models.JSONField(default=dict, blank=True)
    undoable = models.BooleanField(default=True)
    undoes = models.OneToOneField("self", on_delete=models.SET_NULL, null=True, blank=True, related_name="undone_by")

    class Meta:
        ordering = ["-pk"]
        constraints = [
            one_of("type", EventType, "event_type_known"),
            models.UniqueConstraint(fields=["build", "revision"], name="event_one_a_revision"),
        ]

    def __str__(self) -> str:
        return event_text(self)
