"""What was measured, handed over, agreed and moved is only ever added to."""

from django.db import migrations

from studio.guards import only_grows


class Migration(migrations.Migration):
    dependencies = [("sourcing", "0002_deeper")]

    operations = [
        only_grows("sourcing_checkin"),
        only_grows("sourcing_custody"),
        only_grows("sourcing_turning"),
        only_grows("sourcing_condition"),
        only_grows("sourcing_conditionanswer"),
        only_grows("sourcing_samestone"),
        only_grows("sourcing_lotmove"),
    ]
