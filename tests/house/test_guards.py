"""Every table that a migration has guarded is guarded when the last migration has run."""

import re
from pathlib import Path

import pytest
from django.conf import settings
from django.db import connection

NAMED = sorted(
    {
        table
        for path in Path(settings.BASE_DIR).glob("*/*/migrations/*.py")
        for table in re.findall(r'only_grows\("(\w+)"\)', path.read_text(encoding="utf-8"))
    }
)


def test_there_are_guards():
    assert {"bench_weighing", "bench_metalmovement", "money_entry"} <= set(NAMED)


@pytest.mark.django_db
@pytest.mark.parametrize("table", NAMED)
def test_the_guards_of_a_table_outlive_later_migrations(table):
    """SQLite makes a table anew when a column is added, and forgets its triggers."""
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("SELECT name FROM sqlite_master WHERE type = 'trigger' AND tbl_name = %s", [table])
            wanted = {f"{table}_no_update", f"{table}_no_delete"}
        else:
            cursor.execute("SELECT tgname FROM pg_trigger WHERE tgrelid = %s::regclass", [table])
            wanted = {f"{table}_no_change"}
        assert wanted <= {row[0] for row in cursor.fetchall()}
