"""What went to a refiner and what was settled only grows; movements are guarded anew, their table was made anew."""

from django.db import migrations

from studio.guards import only_grows


class Migration(migrations.Migration):
    dependencies = [("bench", "0008_refining")]
    operations = [
        only_grows("bench_refinerlot"),
        only_grows("bench_refinersettlement"),
        only_grows("bench_metalmovement"),
    ]
