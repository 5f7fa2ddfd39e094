from django.db import migrations

from studio.guards import only_grows


class Migration(migrations.Migration):
    """Entries and postings can be added, and never changed or removed."""

    dependencies = [("money", "0001_initial")]
    operations = [only_grows("money_entry"), only_grows("money_posting")]
