"""The words of an address are sealed at rest, those that stand already too."""

from django.db import migrations

from studio.sealing import SealedText, open_sealed, seal

COLUMNS = ("addressee", "lines")


def _each(schema_editor, change):
    with schema_editor.connection.cursor() as cursor:
        cursor.execute("SELECT id, addressee, lines FROM delivery_address")
        for pk, *words in cursor.fetchall():
            cursor.execute(
                "UPDATE delivery_address SET addressee = %s, lines = %s WHERE id = %s",
                [*(str(change(word)) for word in words), pk],
            )


def seal_what_stands(apps, schema_editor):
    _each(schema_editor, seal)


def open_what_stands(apps, schema_editor):
    _each(schema_editor, open_sealed)


class Migration(migrations.Migration):
    dependencies = [("delivery", "0004_calendar")]

    operations = [
        *(
            migrations.AlterField(model_name="address", name=name, field=SealedText(max_length=length))
            for name, length in (("addressee", 120), ("lines", 500))
        ),
        migrations.RunPython(seal_what_stands, open_what_stands, elidable=True),
    ]
