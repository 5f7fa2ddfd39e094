"""Weights and counts are added to and never changed."""

from django.db import migrations

from studio.guards import only_grows


class Migration(migrations.Migration):
    dependencies = [("bench", "0002_first_templates")]
    operations = [
        only_grows("bench_weighing"),
        only_grows("bench_stonecount"),
        only_grows("bench_timeedit"),
        only_grows("bench_checkanswer"),
        only_grows("bench_metalmovement"),
    ]
