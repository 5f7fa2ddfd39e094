"""Work that leaves the house: what went out, to whom, by when, and what came back."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from commissions.bench.models.steps import Step, SupplierTask
from commissions.record.models import Commission


class SupplierJob(models.Model):
    """One job for a supplier; its slip and its link name neither client nor price."""

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="supplier_jobs")
    step = models.ForeignKey(
        Step, on_delete=models.PROTECT, null=True, blank=True, related_name="supplier_jobs"
    )
    task = models.CharField(max_length=12, choices=SupplierTask.choices)
    supplier = models.CharField(max_length=80)
    words = models.CharField(max_length=400, help_text="what is to be done")
    due_on = models.DateField()
    sent_mg = models.PositiveIntegerField(default=0)
    sent_stones = models.PositiveIntegerField(default=0)
    sent_mct = models.PositiveIntegerField(default=0)
    sent_at = models.DateTimeField()
    sent_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    returned_mg = models.PositiveIntegerField(null=True, blank=True)
    returned_stones = models.PositiveIntegerField(null=True, blank=True)
    returned_mct = models.PositiveIntegerField(null=True, blank=True)
    shortfall = models.CharField(max_length=200, blank=True, help_text="what is missing, and why")
    returned_at = models.DateTimeField(null=True, blank=True)
    returned_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    link_hash = models.CharField(max_length=64, blank=True, db_index=True)
    link_until = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["id"]

    def __str__(self):
        return f"{self.get_task_display()}: {self.supplier}"
