"""Who worked on a build."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy


class Builder(models.Model):
    """Somebody who worked on a build. Most can sign in; a name from an old log need not."""

    name = models.CharField(max_length=80, unique=True)
    user = models.OneToOneField(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, blank=True, related_name="builder"
    )

    looks_on = models.BooleanField(gettext_lazy("reads everything, changes nothing"), default=False)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name
