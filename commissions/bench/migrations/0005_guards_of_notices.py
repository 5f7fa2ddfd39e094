"""Notices and what was said to them are added to and never changed."""

from django.db import migrations

from studio.guards import only_grows


class Migration(migrations.Migration):
    dependencies = [("bench", "0004_date_notices")]
    operations = [only_grows("bench_datenotice"), only_grows("bench_dateanswer")]
