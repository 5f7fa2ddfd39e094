"""Rules that the database itself keeps: rows that may be added and never changed or removed."""

from __future__ import annotations

from django.db import migrations

_SQLITE = """
CREATE TRIGGER {table}_no_update BEFORE UPDATE ON {table}
BEGIN SELECT RAISE(ABORT, '{table} only grows: add a correcting row'); END;
CREATE TRIGGER {table}_no_delete BEFORE DELETE ON {table}
BEGIN SELECT RAISE(ABORT, '{table} only grows: add a correcting row'); END;
"""

_POSTGRES = """
CREATE OR REPLACE FUNCTION {table}_only_grows() RETURNS trigger AS $$
BEGIN RAISE EXCEPTION '{table} only grows: add a correcting row'; END;
$$ LANGUAGE plpgsql;
CREATE TRIGGER {table}_no_change BEFORE UPDATE OR DELETE ON {table}
FOR EACH ROW EXECUTE FUNCTION {table}_only_grows();
"""


def only_grows(table: str) -> migrations.RunPython:
    """
    A migration operation after which *table* refuses UPDATE and DELETE, on SQLite and PostgreSQL.

    TRUNCATE stays possible for the owner of the database, as for any table.
    """

    def forwards(apps, schema_editor):
        vendor = schema_editor.connection.vendor
        if vendor == "sqlite":
            for statement in _SQLITE.format(table=table).strip().split("END;"):
                if statement.strip():
                    schema_editor.execute(statement + "END;")
        elif vendor == "postgresql":
            schema_editor.execute(_POSTGRES.format(table=table).replace("%", "%%"), params=None)
        else:
            raise RuntimeError(f"the rows of {table} cannot be guarded on {vendor}")

    def backwards(apps, schema_editor):
        vendor = schema_editor.connection.vendor
        if vendor == "sqlite":
            schema_editor.execute(f"DROP TRIGGER {table}_no_update")
            schema_editor.execute(f"DROP TRIGGER {table}_no_delete")
        else:
            schema_editor.execute(f"DROP TRIGGER {table}_no_change ON {table}")

    return migrations.RunPython(forwards, backwards)
