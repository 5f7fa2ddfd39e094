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


def refuses_new(table: str, *, name: str, sqlite: str, postgresql: str, words: str) -> migrations.RunPython:
    """
    A migration operation after which *table* refuses a new row for which a condition holds.

    The condition is SQL that reads the row as ``NEW``, in the words of either database; *words* is what the
    refusal says.
    """

    def forwards(apps, schema_editor):
        if schema_editor.connection.vendor == "sqlite":
            schema_editor.execute(
                f"CREATE TRIGGER {table}_{name} BEFORE INSERT ON {table} WHEN {sqlite} "
                f"BEGIN SELECT RAISE(ABORT, '{words}'); END;"
            )
        else:
            statement = (
                f"CREATE OR REPLACE FUNCTION {table}_{name}() RETURNS trigger AS $$ "
                f"BEGIN IF {postgresql} THEN RAISE EXCEPTION '{words}'; END IF; RETURN NEW; END; "
                f"$$ LANGUAGE plpgsql; CREATE TRIGGER {table}_{name} BEFORE INSERT ON {table} "
                f"FOR EACH ROW EXECUTE FUNCTION {table}_{name}();"
            )
            schema_editor.execute(statement, params=None)

    def backwards(apps, schema_editor):
        on = "" if schema_editor.connection.vendor == "sqlite" else f" ON {table}"
        schema_editor.execute(f"DROP TRIGGER {table}_{name}{on}")

    return migrations.RunPython(forwards, backwards)
