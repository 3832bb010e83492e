"""Every change leaves an event of who did what, and each record's history row carries the event it came from."""

import contextvars
from typing import Any

from django.db import models
from simple_history.models import HistoricalRecords
from simple_history.signals import pre_create_historical_record

current_event: contextvars.ContextVar[int | None] = contextvars.ContextVar("current_event", default=None)


class Tagged(models.Model):
    """What every history row has beside the record's own fields."""

    event_id = models.BigIntegerField(null=True, db_index=True, editable=False)

    class Meta:
        abstract = True


def kept_history(**options: Any) -> HistoricalRecords:
    return HistoricalRecords(bases=[Tagged], **options)


def _tag(sender: Any, history_instance: Any, **_: Any) -> None:
    history_instance.event_id = current_event.get()


def connect() -> None:
    pre_create_historical_record.connect(_tag, dispatch_uid="tag history rows with their event")


class Versioned(models.Model):
    """A record that two people may edit at once: a form says which version it showed, and an older one is refused."""

    version = models.PositiveIntegerField(default=1, editable=False)

    class Meta:
        abstract = True
