"""What approval, papers and risk add; the guard of the check-ins is lifted while columns are added to them."""

import django.db.models.deletion
from django.db import migrations, models

from studio.guards import lifted, only_grows


class Migration(migrations.Migration):

    dependencies = [
        ('sourcing', '0003_guards'),
    ]

    operations = [
        lifted('sourcing_checkin'),
        migrations.AddField(
            model_name='checkin',
            name='risk',
            field=models.CharField(blank=True, choices=[('', 'Not settled yet'), ('us', 'We do, from receipt to handing over'), ('supplier', 'The supplier, by their slip'), ('client', 'The client, by their own insurance')], max_length=10),
        ),
        migrations.AddField(
            model_name='checkin',
            name='value_basis',
            field=models.CharField(blank=True, max_length=120),
        ),
        migrations.AddField(
            model_name='checkin',
            name='value_currency',
            field=models.CharField(blank=True, max_length=3),
        ),
        migrations.AddField(
            model_name='checkin',
            name='value_minor',
            field=models.BigIntegerField(blank=True, null=True),
        ),
        only_grows('sourcing_checkin'),
        migrations.AddField(
            model_name='meleelot',
            name='cost_minor',
            field=models.BigIntegerField(blank=True, null=True, verbose_name='what the parcel cost'),
        ),
        migrations.AddField(
            model_name='meleelot',
            name='currency',
            field=models.CharField(blank=True, max_length=3),
        ),
        migrations.AddField(
            model_name='stone',
            name='asked_minor',
            field=models.BigIntegerField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name='stone',
            name='insurer',
            field=models.CharField(blank=True, max_length=80, verbose_name='who insures both ways'),
        ),
        migrations.AddField(
            model_name='stone',
            name='plot_north',
            field=models.CharField(blank=True, max_length=120),
        ),
        migrations.AddField(
            model_name='stone',
            name='received_on',
            field=models.DateField(blank=True, null=True),
        ),
        migrations.CreateModel(
            name='ApprovalEvent',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(choices=[('taken', 'Taken on approval'), ('extended', 'Extended'), ('returned', 'Sent back'), ('bought', 'Bought')], max_length=10)),
                ('until', models.DateField(blank=True, null=True)),
                ('words', models.CharField(blank=True, max_length=200)),
                ('by_words', models.CharField(max_length=160)),
                ('at', models.DateTimeField()),
                ('stone', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='approval_events', to='sourcing.stone')),
            ],
            options={
                'ordering': ['id'],
            },
        ),
        migrations.CreateModel(
            name='ConditionPaper',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(choices=[('sent', 'As sent'), ('signed', 'As signed')], max_length=8)),
                ('file_name', models.CharField(max_length=80)),
                ('sha256', models.CharField(max_length=64)),
                ('at', models.DateTimeField()),
                ('condition', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='papers', to='sourcing.condition')),
            ],
            options={
                'ordering': ['id'],
                'constraints': [models.UniqueConstraint(fields=('condition', 'kind'), name='sourcing_one_paper_a_condition')],
            },
        ),
        only_grows('sourcing_approvalevent'),
        only_grows('sourcing_conditionpaper'),
    ]
