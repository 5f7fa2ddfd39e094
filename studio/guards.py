"""Rules that the database itself keeps: rows that may be added and never changed or removed."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator

from django.db import connection, migrations

_SQLITE = """
CREATE TRIGGER IF NOT EXISTS {table}_no_update BEFORE UPDATE ON {table}
BEGIN SELECT RAISE(ABORT, '{table} only grows: add a correcting row'); END;
CREATE TRIGGER IF NOT EXISTS {table}_no_delete BEFORE DELETE ON {table}
BEGIN SELECT RAISE(ABORT, '{table} only grows: add a correcting row'); END;
"""

_POSTGRES = """
CREATE OR REPLACE FUNCTION {table}_only_grows() RETURNS trigger AS $$
BEGIN RAISE EXCEPTION '{table} only grows: add a correcting row'; END;
$$ LANGUAGE plpgsql;
DROP TRIGGER IF EXISTS {table}_no_change ON {table};
CREATE TRIGGER {table}_no_change BEFORE UPDATE OR DELETE ON {table}
FOR EACH ROW EXECUTE FUNCTION {table}_only_grows();
"""


def only_grows(table: str) -> migrations.RunPython:
    """
    A migration operation after which *table* refuses UPDATE and DELETE, on SQLite and PostgreSQL.

    TRUNCATE stays possible for the owner of the database, as for any table. SQLite makes a table anew for
    most changes of its columns, and the guards go with the old one: name it again after such a migration.
    """

    forwards, backwards = _ways(table)
    return migrations.RunPython(forwards, backwards)


def lifted(table: str) -> migrations.RunPython:
    """
    A migration operation that takes the guard off, so that a column can be added; put ``only_grows`` after it.

    SQLite copies a table to add a column with a default, and would lose the guard without a word.
    """
    forwards, backwards = _ways(table)
    return migrations.RunPython(backwards, forwards)


def _ways(table: str):
    """How the guard is put on and taken off."""

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

    return forwards, backwards


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


_KEPT_SQLITE = """
CREATE TRIGGER IF NOT EXISTS {table}_kept_update BEFORE UPDATE ON {table} WHEN ({closed}) AND ({changes})
BEGIN SELECT RAISE(ABORT, '{table}: {words}'); END;
CREATE TRIGGER IF NOT EXISTS {table}_kept_delete BEFORE DELETE ON {table} WHEN ({closed})
BEGIN SELECT RAISE(ABORT, '{table}: {words}'); END;
"""

_KEPT_POSTGRES = """
CREATE OR REPLACE FUNCTION {table}_kept() RETURNS trigger AS $$
BEGIN
  IF TG_OP = 'DELETE' THEN
    IF {closed} THEN RAISE EXCEPTION '{table}: {words}'; END IF;
    RETURN OLD;
  END IF;
  IF ({closed}) AND ({changes}) THEN RAISE EXCEPTION '{table}: {words}'; END IF;
  RETURN NEW;
END;
$$ LANGUAGE plpgsql;
DROP TRIGGER IF EXISTS {table}_kept ON {table};
CREATE TRIGGER {table}_kept BEFORE UPDATE OR DELETE ON {table}
FOR EACH ROW EXECUTE FUNCTION {table}_kept();
"""


def kept_once(
    table: str, *, closed: str, columns: tuple[str, ...], words: str, never: str = ""
) -> migrations.RunPython:
    """
    A migration operation after which a row of *table* keeps its *columns*, and stays, once it is closed.

    SQLite forgets the triggers of a table that a later migration makes anew: that migration repeats this one.

    Args:
        table: The table.
        closed: When a row is closed, as SQL over OLD, such as ``OLD.status <> 'draft'``.
        columns: What may not change from then on.
        words: What the database says to whoever tries.
        never: A further change that is refused once closed, as SQL over OLD and NEW; empty for none.
    """

    def told(vendor: str) -> dict[str, str]:
        differs = "OLD.{0} IS NOT NEW.{0}" if vendor == "sqlite" else "OLD.{0} IS DISTINCT FROM NEW.{0}"
        changes = [differs.format(name) for name in columns] + ([never] if never else [])
        return {"table": table, "closed": closed, "changes": " OR ".join(changes), "words": words}

    def forwards(apps, schema_editor):
        vendor = schema_editor.connection.vendor
        if vendor == "sqlite":
            for statement in _KEPT_SQLITE.format(**told(vendor)).strip().split("END;"):
                if statement.strip():
                    schema_editor.execute(statement + "END;", params=None)
        elif vendor == "postgresql":
            schema_editor.execute(_KEPT_POSTGRES.format(**told(vendor)).replace("%", "%%"), params=None)
        else:
            raise RuntimeError(f"the rows of {table} cannot be guarded on {vendor}")

    def backwards(apps, schema_editor):
        if schema_editor.connection.vendor == "sqlite":
            schema_editor.execute(f"DROP TRIGGER {table}_kept_update")
            schema_editor.execute(f"DROP TRIGGER {table}_kept_delete")
        else:
            schema_editor.execute(f"DROP TRIGGER {table}_kept ON {table}")

    return migrations.RunPython(forwards, backwards)


def writes_once(table: str, columns: tuple[str, ...]) -> migrations.RunPython:
    """
    A migration operation after which each of *columns* may be filled in once and never changed, and no row removed.

    A column counts as filled in when it is neither NULL nor an empty text.
    """

    def forwards(apps, schema_editor):
        vendor = schema_editor.connection.vendor
        if vendor == "sqlite":
            changed = " OR ".join(
                f"(OLD.{name} IS NOT NULL AND OLD.{name} <> '' AND OLD.{name} IS NOT NEW.{name})"
                for name in columns
            )
            schema_editor.execute(
                f"CREATE TRIGGER {table}_writes_once BEFORE UPDATE ON {table} WHEN {changed} "
                f"BEGIN SELECT RAISE(ABORT, '{table} is written once: add a correcting row'); END;"
            )
            schema_editor.execute(
                f"CREATE TRIGGER {table}_no_delete BEFORE DELETE ON {table} "
                f"BEGIN SELECT RAISE(ABORT, '{table} is written once: no row is removed'); END;"
            )
        elif vendor == "postgresql":
            changed = " OR ".join(
                f"(OLD.{name} IS NOT NULL AND OLD.{name}::text <> '' "
                f"AND OLD.{name} IS DISTINCT FROM NEW.{name})"
                for name in columns
            )
            schema_editor.execute(
                f"CREATE OR REPLACE FUNCTION {table}_writes_once() RETURNS trigger AS $$ BEGIN "
                f"IF TG_OP = 'DELETE' OR {changed} THEN "
                f"RAISE EXCEPTION '{table} is written once: add a correcting row'; END IF; "
                "RETURN NEW; END; $$ LANGUAGE plpgsql;",
                params=None,
            )
            schema_editor.execute(
                f"CREATE TRIGGER {table}_writes_once BEFORE UPDATE OR DELETE ON {table} "
                f"FOR EACH ROW EXECUTE FUNCTION {table}_writes_once();",
                params=None,
            )
        else:
            raise RuntimeError(f"the columns of {table} cannot be guarded on {vendor}")

    def backwards(apps, schema_editor):
        if schema_editor.connection.vendor == "sqlite":
            schema_editor.execute(f"DROP TRIGGER {table}_writes_once")
            schema_editor.execute(f"DROP TRIGGER {table}_no_delete")
        else:
            schema_editor.execute(f"DROP TRIGGER {table}_writes_once ON {table}")

    return migrations.RunPython(forwards, backwards)


@contextlib.contextmanager
def names_give_way(table: str) -> Iterator[None]:
    """
    Let words of *table* be changed inside this block, in the transaction that is under way, by nobody else.

    There is one use: a client's name gives way to a mark when they are erased. No fact is changed by it, and
    the trail, whose chain would break, is never opened. Both databases take such a change of the guard back
    with its transaction.
    """
    if table == "trail_entry":
        raise ValueError("the trail is never written over")
    if not connection.in_atomic_block:
        raise RuntimeError("a guard is lifted inside a transaction alone")
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute(
                "SELECT name, sql FROM sqlite_master WHERE type = 'trigger' AND tbl_name = %s "
                "AND sql LIKE '%%BEFORE UPDATE%%'",
                [table],
            )
            found = cursor.fetchall()
            for name, _sql in found:
                cursor.execute(f'DROP TRIGGER "{name}"')
            yield
            for _name, sql in found:
                cursor.execute(sql)
        else:
            # A table with checks still to come is not altered: what was written so far is checked now.
            cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
            cursor.execute(f'ALTER TABLE "{table}" DISABLE TRIGGER USER')
            yield
            cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
            cursor.execute(f'ALTER TABLE "{table}" ENABLE TRIGGER USER')
