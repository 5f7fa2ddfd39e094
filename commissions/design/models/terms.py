"""How many revisions a price includes, and what the next one costs; the newest row counts."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from commissions.design.models.revisions import Revision
from commissions.record.models import Commission


class RevisionTerm(models.Model):
    """What is said of revisions before anybody asks: for one commission, or (without one) as the studio usually does."""

    commission = models.ForeignKey(
        Commission, on_delete=models.PROTECT, null=True, blank=True, related_name="revision_terms"
    )
    included = models.PositiveSmallIntegerField()
    price_minor = models.PositiveBigIntegerField(null=True, blank=True)
    currency = models.CharField(max_length=3)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
        indexes = [models.Index(fields=["currency", "commission", "id"], name="design_term_in_force")]


class Uncounted(models.Model):
    """A revision that is not counted among those included, because it was our own doing."""

    revision = models.OneToOneField(Revision, on_delete=models.PROTECT, related_name="uncounted")
    reason = models.CharField(max_length=200)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
