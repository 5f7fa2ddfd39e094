"""What a small job is about is part of what the client agrees to: it is never edited."""

from django.db import migrations

from studio.guards import only_grows


class Migration(migrations.Migration):
    dependencies = [("record", "0003_small_jobs")]

    operations = [only_grows("record_smalljob")]
