from django.db import migrations

from studio.guards import only_grows


class Migration(migrations.Migration):
    """Entries of the trail can be added, and never changed or removed."""

    dependencies = [("trail", "0001_initial")]
    operations = [only_grows("trail_entry")]
