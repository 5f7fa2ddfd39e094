import datetime

from django.db import migrations

FIRST = [
    (
        "GB-20",
        "UK standard rate",
        "20",
        "GB",
        "gov.uk, VAT rates on different goods and services; check it before you use it",
    ),
    (
        "GB-EXPORT",
        "Sent out of the UK, zero-rated where proof of export is kept in time",
        "0",
        "",
        "gov.uk, VAT Notice 703, goods exported from the UK; check it before you use it",
    ),
]


def forwards(apps, schema_editor):
    tax_code = apps.get_model("money", "TaxCode")
    for code, words, rate, country, source in FIRST:
        tax_code.objects.get_or_create(
            code=code,
            defaults={
                "words": words,
                "rate": rate,
                "country": country,
                "source": source,
                "checked_on": datetime.date(2026, 9, 1),
            },
        )


class Migration(migrations.Migration):
    """Two tax codes to begin with; the owner edits the table."""

    dependencies = [("money", "0003_prices_papers_commitments")]
    operations = [migrations.RunPython(forwards, migrations.RunPython.noop)]
