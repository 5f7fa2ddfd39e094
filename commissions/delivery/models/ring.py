"""What is so of a finished ring: its record, the inscription read a second time, the papers it left with."""

from __future__ import annotations

from django.db import models

from commissions.record.models import Commission
from commissions.sourcing.models import Stone


class RingRecord(models.Model):
    """
    What is so of a finished ring, as it is handed to its wearer; only ever added, the newest counts.

    ``facts`` holds no client, no address and no price; ``digest`` is its SHA-256, by which a third party
    can see that a paper is ours.
    """

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="ring_records")
    facts = models.JSONField()
    digest = models.CharField(max_length=64, unique=True)
    made_by = models.CharField(max_length=160)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]


class HowRead(models.TextChoices):
    """How the identity of the centre was looked at after it was set."""

    READ = "read", "Inscription read"
    PLOT = "plot", "Inscription covered: inclusions compared with the plot"
    NOT = "not", "Neither could be done"


class SecondReading(models.Model):
    """
    The inscription of the centre, read again after setting without the first reading in sight; only ever added.

    ``fits`` compares what was typed with what was read before setting; for a plot it is the person's word.
    """

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="second_readings")
    stone = models.ForeignKey(Stone, on_delete=models.PROTECT, related_name="second_readings")
    how = models.CharField(max_length=4, choices=HowRead.choices)
    typed = models.CharField(max_length=60, blank=True)
    fits = models.BooleanField()
    words = models.CharField(max_length=300, blank=True)
    by_words = models.CharField(max_length=160)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]


class KeptPaper(models.Model):
    """
    A paper as it was handed over.

    The row is written in the transaction of its cause with everything that the paper says (``data``); the
    bytes are drawn from that afterwards, once, and never again: name and digest are written once.
    """

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="kept_papers")
    kind = models.CharField(max_length=16)
    edition = models.PositiveSmallIntegerField()
    cause = models.CharField(max_length=60)
    language = models.CharField(max_length=10)
    data = models.JSONField(default=dict)
    file_name = models.CharField(max_length=80, blank=True)
    sha256 = models.CharField(max_length=64, blank=True)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["commission", "kind", "cause"], name="delivery_one_paper_of_a_cause"
            ),
            models.UniqueConstraint(fields=["commission", "kind", "edition"], name="delivery_one_edition"),
        ]

    def __str__(self):
        return f"{self.kind} {self.edition}"


class Treated(models.TextChoices):
    """What is known of treatments of the centre."""

    NONE = "none", "None known: the report or the supplier says so"
    TREATED = "treated", "Treated"
    UNKNOWN = "unknown", "Not known"


class Disclosure(models.Model):
    """
    What is said of treatments of the centre on the ring's papers; only ever added, the newest counts.

    ``source`` is where it was read; ``care_words`` what the wearer has to mind because of it.
    """

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="disclosures")
    treated = models.CharField(max_length=8, choices=Treated.choices)
    words = models.CharField(max_length=200, blank=True)
    care_words = models.CharField(max_length=200, blank=True)
    source = models.CharField(max_length=160)
    by_words = models.CharField(max_length=160)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
