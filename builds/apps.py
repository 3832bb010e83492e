from django.apps import AppConfig


class BuildsConfig(AppConfig):
    name = "builds"
    verbose_name = "Builds"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        # Both register themselves on import: the system checks, and the mark that ties history rows to their event.
        from builds import checks  # noqa: F401
        from builds.models import history

        history.connect()
