"""Stones: candidates, the chosen one, what was measured of it, and who holds it."""

from __future__ import annotations

from django.db import models

from commissions.record.models import Commission


class StoneState(models.TextChoices):
    """Where a stone is in its life with us."""

    CANDIDATE = "candidate", "Candidate"
    ON_APPROVAL = "on-approval", "On approval"
    QUARANTINE = "quarantine", "In quarantine"
    CHECKED_IN = "checked-in", "Checked in"
    ISSUED = "issued", "Issued"
    SET = "set", "Set"
    RETURNED = "returned", "Returned"
    BROKEN = "broken", "Broken"
    LOST = "lost", "Lost"


class Origin(models.TextChoices):
    """Where a stone comes from; never mixed, always said beside the word."""

    NATURAL = "natural", "natural"
    LABORATORY = "laboratory-grown", "laboratory-grown"
    UNKNOWN = "unknown", "not known"


class Owner(models.TextChoices):
    """Whose stone it is, and so who bears which risk."""

    US = "us", "ours"
    SUPPLIER = "supplier", "supplier's, on approval"
    CLIENT = "client", "client's"


class Screening(models.TextChoices):
    """How it was told whether a stone is natural or laboratory-grown."""

    NOT_DONE = "not-done", "Not screened"
    REPORT = "report", "By the laboratory that wrote the report"
    OURS = "ours", "By us, with an instrument"
    OUTSIDE = "outside", "By an outside laboratory, for us"
    NOT_NEEDED = "not-needed", "Not needed for this species"


class Risk(models.TextChoices):
    """Who bears the risk of loss and damage while a stone lies with us, before it is set."""

    NOT_SAID = "", "Not settled yet"
    US = "us", "We do, from receipt to handing over"
    SUPPLIER = "supplier", "The supplier, by their slip"
    CLIENT = "client", "The client, by their own insurance"


class Stone(models.Model):
    """
    One centre stone, real or on paper.

    ``outline`` is its girdle as an outline of the halo's contract, in mm; lengths at rest are 0.01 mm and
    the weight 0.001 ct. ``price_minor`` is what it costs us, ``asked_minor`` what the client pays for it in
    the commission's currency. ``plot_north`` says how the plot's twelve o'clock is found on the stone itself.
    """

    commission = models.ForeignKey(
        Commission, on_delete=models.PROTECT, null=True, blank=True, related_name="stones"
    )
    name = models.CharField(max_length=80)
    species = models.CharField(max_length=40, default="diamond")
    origin = models.CharField(max_length=20, choices=Origin.choices)
    outline = models.JSONField()
    length_hmm = models.PositiveIntegerField("length, 0.01 mm")
    width_hmm = models.PositiveIntegerField("width, 0.01 mm")
    depth_hmm = models.PositiveIntegerField("depth, 0.01 mm")
    weight_mct = models.PositiveIntegerField("weight, 0.001 ct", null=True, blank=True)
    measured_by = models.CharField(max_length=12, default="report")
    report_number = models.CharField(max_length=40, blank=True)
    supplier = models.CharField(max_length=80, blank=True)
    price_minor = models.BigIntegerField(null=True, blank=True)
    currency = models.CharField(max_length=3, blank=True)
    asked_minor = models.BigIntegerField(null=True, blank=True)
    owner = models.CharField(max_length=10, choices=Owner.choices, default=Owner.US)
    state = models.CharField(max_length=12, choices=StoneState.choices, default=StoneState.CANDIDATE)
    return_by = models.DateField(null=True, blank=True)
    slip = models.CharField(max_length=40, blank=True)
    received_on = models.DateField(null=True, blank=True)
    insurer = models.CharField("who insures both ways", max_length=80, blank=True)
    plot_north = models.CharField(max_length=120, blank=True)
    holder = models.CharField(max_length=80, blank=True)
    chosen_at = models.DateTimeField(null=True, blank=True)
    chosen_by = models.CharField(max_length=160, blank=True)
    note = models.TextField(max_length=2000, blank=True)
    made_at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["commission"],
                condition=models.Q(chosen_at__isnull=False),
                name="sourcing_one_chosen_stone",
            ),
            models.UniqueConstraint(
                fields=["report_number"],
                condition=~models.Q(report_number="") & ~models.Q(state__in=["returned", "broken", "lost"]),
                name="sourcing_one_live_stone_a_report",
            ),
        ]

    def __str__(self):
        return self.name


class CheckIn(models.Model):
    """
    What we measured of a stone when it came in: only ever added, the newest counts.

    The inscription is typed before the number on the report is shown, and compared afterwards.
    ``readings`` holds the two readings of every measure, 0.01 mm; ``refit`` the halo as agreed and as it
    comes out round the measured stone.
    """

    stone = models.ForeignKey(Stone, on_delete=models.PROTECT, related_name="check_ins")
    weight_mct = models.PositiveIntegerField("weight, 0.001 ct")
    length_hmm = models.PositiveIntegerField("length, 0.01 mm")
    width_hmm = models.PositiveIntegerField("width, 0.01 mm")
    depth_hmm = models.PositiveIntegerField("depth, 0.01 mm")
    outline = models.JSONField()
    readings = models.JSONField(default=dict)
    inscription_typed = models.CharField(max_length=40, blank=True)
    inscription_fits = models.BooleanField(null=True)
    weight_note = models.CharField(max_length=200, blank=True)
    weight_reason = models.CharField(max_length=200, blank=True)
    girdle_note = models.CharField(max_length=200, blank=True)
    screening = models.CharField(max_length=12, choices=Screening.choices, default=Screening.NOT_DONE)
    screening_words = models.CharField(max_length=200, blank=True)
    origin_statement = models.CharField(max_length=200, blank=True)
    fit_note = models.CharField(max_length=200, blank=True)
    within_tolerance = models.BooleanField(default=True)
    refit = models.JSONField(default=dict)
    seal = models.CharField(max_length=40, blank=True)
    risk = models.CharField(max_length=10, choices=Risk.choices, blank=True)
    value_minor = models.BigIntegerField(null=True, blank=True)
    value_currency = models.CharField(max_length=3, blank=True)
    value_basis = models.CharField(max_length=120, blank=True)
    by_words = models.CharField(max_length=160)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]


class ApprovalKind(models.TextChoices):
    """What happens to a stone on approval."""

    TAKEN = "taken", "Taken on approval"
    EXTENDED = "extended", "Extended"
    RETURNED = "returned", "Sent back"
    BOUGHT = "bought", "Bought"


class ApprovalEvent(models.Model):
    """One event of a stone on approval, as the supplier's slip and letters say it; only ever added."""

    stone = models.ForeignKey(Stone, on_delete=models.PROTECT, related_name="approval_events")
    kind = models.CharField(max_length=10, choices=ApprovalKind.choices)
    until = models.DateField(null=True, blank=True)
    words = models.CharField(max_length=200, blank=True)
    by_words = models.CharField(max_length=160)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]


class Custody(models.Model):
    """One handing over of a stone; only ever added, the newest tells who holds it."""

    stone = models.ForeignKey(Stone, on_delete=models.PROTECT, related_name="custody")
    holder = models.CharField(max_length=80)
    reason = models.CharField(max_length=200, blank=True)
    by_words = models.CharField(max_length=160)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
