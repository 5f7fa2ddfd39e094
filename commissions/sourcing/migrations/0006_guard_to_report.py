"""The choice to work to a report is only ever added."""

from django.db import migrations

from studio.guards import only_grows


class Migration(migrations.Migration):
    dependencies = [("sourcing", "0005_to_report")]

    operations = [only_grows("sourcing_toreport")]
