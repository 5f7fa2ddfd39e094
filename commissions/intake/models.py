"""The client and their brief."""

from __future__ import annotations

from django.db import models

from studio.people.models import ClientAccess


class Client(models.Model):
    """A person who wishes for a ring."""

    access = models.OneToOneField(ClientAccess, on_delete=models.PROTECT, related_name="client")
    full_name = models.CharField(max_length=120)
    country = models.CharField(max_length=2, help_text="ISO 3166 code of the country they live in")
    phone = models.CharField(max_length=24, blank=True)
    created_at = models.DateTimeField()

    class Meta:
        ordering = ["full_name"]

    def __str__(self):
        return self.full_name
