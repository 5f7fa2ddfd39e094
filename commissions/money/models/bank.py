"""Where clients pay to: only ever added, and a change waits."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class BankDetails(models.Model):
    """The account for one currency; the newest whose time has come holds."""

    currency = models.CharField(max_length=3)
    holder = models.CharField(max_length=120)
    lines = models.TextField(max_length=400, help_text="bank, account, code, as the client types them")
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField()
    live_at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["live_at", "id"]
