"""The lots of a count are added to and never changed."""

from django.db import migrations

from studio.guards import only_grows


class Migration(migrations.Migration):
    dependencies = [("bench", "0006_stone_tallies")]
    operations = [only_grows("bench_stonetally")]
