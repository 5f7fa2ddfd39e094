"""A new house begins with templates that its owner changes."""

from django.db import migrations

from commissions.bench.defaults import TEMPLATES


def lay(apps, schema_editor):
    template_model = apps.get_model("bench", "StepTemplate")
    line_model = apps.get_model("bench", "TemplateLine")
    for name, (words, lines) in TEMPLATES.items():
        template = template_model.objects.create(name=name, words=words)
        line_model.objects.bulk_create(
            line_model(
                template=template, position=place, stage=line.stage, name=line.name, words=line.words,
                supplier_task=line.by, planned_minutes=line.minutes, cautions=line.cautions,
            )
            for place, line in enumerate(lines, start=1)
        )


class Migration(migrations.Migration):
    dependencies = [("bench", "0001_initial")]
    operations = [migrations.RunPython(lay, migrations.RunPython.noop)]
