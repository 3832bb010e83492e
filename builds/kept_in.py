"""Where forecasts and drawings are kept, as the settings say it."""

from importlib.util import find_spec
from pathlib import Path

from django.core.exceptions import ImproperlyConfigured


def kept_in(url: str, folder: Path) -> dict[str, object]:
    """A cache for Django's settings: in files in `folder`, in the database, or at the address of a Redis.

    ImproperlyConfigured, with a sentence, for anything else, or where Redis has no package.
    """
    here: dict[str, object] = {
        "BACKEND": "builds.queries.kept_files.KeptFiles",
        "LOCATION": folder,
        "OPTIONS": {"MAX_ENTRIES": 20_000},
    }
    places: dict[str, dict[str, object]] = {
        "": here,
        "database": {"BACKEND": "django.core.cache.backends.db.DatabaseCache", "LOCATION": "kept_results"},
        "redis": {"BACKEND": "django.core.cache.backends.redis.RedisCache", "LOCATION": url},
    }
    kind = "redis" if url.startswith(("redis://", "rediss://")) else url
    if kind not in places:
        raise ImproperlyConfigured(
            "KEPT_IN could not be read. It is database, or an address such as redis://host:6379/0; "
            "leave it unset to keep results in DATA_DIR."
        )
    if kind == "redis" and find_spec("redis") is None:
        raise ImproperlyConfigured("KEPT_IN names Redis, which needs a package: pip install redis.")
    return {**places[kind], "TIMEOUT": 90 * 24 * 3600}
