"""The connection to the database server outlives a restart of it."""

import pytest
from django.db import connection


@pytest.mark.skipif(connection.vendor != "postgresql", reason="SQLite has no server")
def test_a_connection_from_before_a_restart_of_the_database_server_is_made_again() -> None:
    assert connection.settings_dict["CONN_HEALTH_CHECKS"] is True
