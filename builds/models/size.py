"""One size of a part, three times over: as drawn full size, as scaled, as made."""

from django.db import models

from builds.models.history import kept_history
from builds.models.part import Part


class Size(models.Model):
    """The three are kept apart, with the reason where the made one departs. Texts stay as typed.

    The scaled size is worked out from `full_size` and the build's scale; `made` is what the workshop works to, such as
    the nearest stock size.
    """

    part = models.ForeignKey(Part, on_delete=models.CASCADE, related_name="sizes")
    name = models.CharField("what is measured", max_length=80)
    full_size = models.CharField("as drawn, full size", max_length=60, blank=True)
    made = models.CharField("as made", max_length=60, blank=True)
    reason = models.CharField("why it departs", max_length=200, blank=True)
    history = kept_history()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["part", "name"],
                name="size_name_once",
                violation_error_message="This part has a size of that name already.",
            )
        ]

    def __str__(self) -> str:
        return f"{self.name} of {self.part}"
