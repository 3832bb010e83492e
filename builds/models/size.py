"""One size of a part, three times over: as drawn full size, as scaled, as made."""

from django.db import models
from django.utils.translation import gettext_lazy

from builds.models.constraints import once
from builds.models.history import kept_history
from builds.models.part import Part
from calcs.messages import _


class Size(models.Model):
    """The three are kept apart, with the reason where it was made otherwise. Texts stay as typed.

    The scaled size is worked out from `full_size` and the build's scale; `made` is what the workshop works to, such as
    the nearest stock size.
    """

    part = models.ForeignKey(Part, models.CASCADE, verbose_name=gettext_lazy("part"), related_name="sizes")
    name = models.CharField(gettext_lazy("what is measured"), max_length=80)
    full_size = models.CharField(gettext_lazy("as drawn, full size"), max_length=60, blank=True)
    made = models.CharField(gettext_lazy("as made"), max_length=60, blank=True)
    reason = models.CharField(gettext_lazy("why it departs"), max_length=200, blank=True)
    history = kept_history()

    class Meta:
        ordering = ["pk"]
        verbose_name = gettext_lazy("size")
        constraints = [
            once("size_name_once", ["part", "name"], gettext_lazy("This part has a size of that name already."))
        ]

    def __str__(self) -> str:
        return _("{size} of {part}", size=self.name, part=self.part)
