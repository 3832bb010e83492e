import gc
import os

from django.core.wsgi import get_wsgi_application
from django.urls import get_resolver

from builds.management.holding import use_until_the_process_ends

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "builds.settings")
application = get_wsgi_application()
# Whatever serves this, a backup is not put back under it.
use_until_the_process_ends()
# What was loaded stays as long as the process, so the collector need not walk over it again and again: the pages first,
# which Django would load at the first request. A page of a long record makes tens of thousands of objects that all go
# when it is sent; a collection every 700 of them (Python's own threshold) is a third of the page's time.
get_resolver().url_patterns  # noqa: B018
gc.collect()
gc.freeze()
gc.set_threshold(10_000, 10, 10)
