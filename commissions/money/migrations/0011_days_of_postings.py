from django.db import migrations, models

from studio.guards import only_grows

GUARDS = {
    "sqlite": ["DROP TRIGGER money_posting_no_update", "DROP TRIGGER money_posting_no_delete"],
    "postgresql": ["DROP TRIGGER money_posting_no_change ON money_posting"],
}


def without_guards(apps, schema_editor):
    for statement in GUARDS[schema_editor.connection.vendor]:
        schema_editor.execute(statement)


class Migration(migrations.Migration):
    """A posting knows the day of its entry; its guards step aside while the day is filled in."""

    dependencies = [("money", "0010_sums_alike")]
    operations = [
        migrations.RunPython(without_guards, migrations.RunPython.noop),
        migrations.RemoveIndex(model_name="posting", name="money_posting_in_order"),
        migrations.AddField("posting", "on", models.DateField(null=True)),
        migrations.RunSQL(
            'UPDATE money_posting SET "on" = (SELECT e."on" FROM money_entry e WHERE e.id = money_posting.entry_id)',
            migrations.RunSQL.noop,
        ),
        migrations.AlterField(
            "posting",
            "on",
            models.DateField(
                help_text="the day of its entry, so that an account is read in the order of days"
            ),
        ),
        migrations.AddIndex(
            "posting",
            models.Index(fields=["account", "on", "id", "minor"], name="money_posting_by_day"),
        ),
        only_grows("money_posting"),
    ]
