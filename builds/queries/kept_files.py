"""Where results are kept: files, and never a page that fails for want of room for them."""

import logging
from collections.abc import Callable
from contextlib import suppress
from typing import Any

from django.core.cache.backends.filebased import FileBasedCache

log = logging.getLogger(__name__)


class KeptFiles(FileBasedCache):
    """What cannot be read, written or thrown away was not kept; it is made again."""

    def get(self, key: Any, default: Any = None, version: int | None = None) -> Any:
        return self._unless_the_disk_fails(super().get, default, key, default, version)

    def set(self, *args: Any, **kwargs: Any) -> None:
        self._unless_the_disk_fails(super().set, None, *args, **kwargs)

    def touch(self, *args: Any, **kwargs: Any) -> bool:
        return bool(self._unless_the_disk_fails(super().touch, False, *args, **kwargs))

    def delete(self, *args: Any, **kwargs: Any) -> bool:
        return bool(self._unless_the_disk_fails(super().delete, False, *args, **kwargs))

    def clear(self) -> None:
        self._unless_the_disk_fails(super().clear, None)

    def _createdir(self) -> None:
        # Whoever is about to write finds out.
        with suppress(OSError):
            super()._createdir()  # type: ignore[misc]

    @staticmethod
    def _unless_the_disk_fails(do: Callable[..., Any], otherwise: object, *args: Any, **kwargs: Any) -> Any:
        try:
            return do(*args, **kwargs)
        except OSError as error:
            log.warning("A result could not be kept: %s", error)
            return otherwise
