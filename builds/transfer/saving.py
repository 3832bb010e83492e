"""Many records written at once, from a record file or from a log."""

from collections.abc import Iterable, Sequence
from typing import TypeVar

from django.db import models
from simple_history.utils import bulk_create_with_history

from builds.models import Event

Record = TypeVar("Record", bound=models.Model)


def save_all(model: type[Record], records: Iterable[Record], event: Event) -> None:
    """Save many records at once, each with the history row that a later change of it can go back to."""
    fresh: Sequence[Record] = list(records)
    if fresh:
        bulk_create_with_history(fresh, model, batch_size=500, custom_historical_attrs={"event_id": event.pk})
