import gc
import os
import sys

from django.core.exceptions import ImproperlyConfigured
from django.core.wsgi import get_wsgi_application
from django.db import DatabaseError, connection
from django.urls import get_resolver

from builds.management.holding import use_until_the_process_ends

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "builds.settings")
try:
    application = get_wsgi_application()
    # Opened once now, so that what cannot be served is said at the start and not by every page.
    connection.ensure_connection()
    connection.close()
    # Whatever serves this, a backup is not put back under it.
    use_until_the_process_ends()
except (ImproperlyConfigured, DatabaseError) as error:
    from builds.database import unusable

    print(unusable(error) if isinstance(error, DatabaseError) else error, file=sys.stderr)
    # A server of several processes (gunicorn) ends for this code, where for others it starts the next one for ever.
    raise SystemExit(3) from error
# What was loaded stays as long as the process, so the collector need not walk over it again and again: the pages first,
# which Django would load at the first request. A page of a long record makes tens of thousands of objects that all go
# when it is sent; a collection every 700 of them (Python's own threshold) is a third of the page's time.
get_resolver().url_patterns  # noqa: B018
gc.collect()
gc.freeze()
gc.set_threshold(10_000, 10, 10)
