from django.db import migrations

from studio.guards import only_grows, refuses_new


class Migration(migrations.Migration):
    """A month that was closed stays closed; rates, conversions and rules are added and never changed."""

    dependencies = [("money", "0008_exchange_rules_and_likenesses")]
    operations = [
        only_grows("money_period"),
        only_grows("money_rate"),
        only_grows("money_conversion"),
        only_grows("money_bookrule"),
        refuses_new(
            "money_entry",
            name="open_month",
            sqlite=(
                "EXISTS (SELECT 1 FROM money_period WHERE year = CAST(strftime('%Y', NEW.\"on\") AS INTEGER) "
                "AND month = CAST(strftime('%m', NEW.\"on\") AS INTEGER))"
            ),
            postgresql=(
                "EXISTS (SELECT 1 FROM money_period WHERE year = EXTRACT(YEAR FROM NEW.\"on\") "
                "AND month = EXTRACT(MONTH FROM NEW.\"on\"))"
            ),
            words="money_entry takes nothing into a month that is closed",
        ),
    ]
