from django.apps import AppConfig
from django.conf import settings
from django.utils.translation import gettext, ngettext

from calcs import messages


class BuildsConfig(AppConfig):
    name = "builds"
    verbose_name = "Builds"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        # What ties history rows to their event registers itself.
        from builds import database, private, sessions
        from builds.models import history
        from builds.services import search_index

        history.connect()
        search_index.connect(self)
        sessions.connect()
        private.keep_private(settings.DATA_DIR)
        database.watch()
        messages.speak(gettext, ngettext)
