"""Steps of a job, and the templates they are laid from."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from commissions.record.models import Commission
from commissions.record.route import BENCH, Stage

BENCH_CHOICES = [(stage.value, stage.label) for stage in BENCH]


class SupplierTask(models.TextChoices):
    """Work that leaves the house."""

    NONE = "", "In the house"
    CASTER = "caster", "Caster"
    SETTER = "setter", "Outside setter"
    PLATER = "plater", "Plater"
    ASSAY = "assay", "Assay office"
    ENGRAVER = "engraver", "Engraver"


class StepState(models.TextChoices):
    """How far a step has come."""

    WAITING = "waiting", "Waiting"
    OPEN = "open", "Open"
    DONE = "done", "Done"
    SKIPPED = "skipped", "Left out"


class StepTemplate(models.Model):
    """A list of steps for one kind of job; the owner edits it, laid steps stay as they were laid."""

    name = models.CharField(max_length=80, unique=True)
    words = models.CharField("for which jobs", max_length=200, blank=True)
    is_active = models.BooleanField("offered for new jobs", default=True)

    class Meta:
        ordering = ["id"]

    def __str__(self):
        return self.name


class StepLine(models.Model):
    """What a step is, in a template or on a job."""

    position = models.PositiveSmallIntegerField()
    stage = models.CharField(max_length=12, choices=BENCH_CHOICES)
    name = models.CharField("step", max_length=80)
    words = models.CharField("what to look for", max_length=240, blank=True)
    supplier_task = models.CharField("done by", max_length=12, choices=SupplierTask.choices, blank=True)
    planned_minutes = models.PositiveIntegerField(default=60)
    cautions = models.CharField(max_length=80, blank=True, help_text="keys of the cautions shown at the step")

    class Meta:
        abstract = True
        ordering = ["position"]

    @property
    def stage_label(self) -> str:
        """The stage in words."""
        return Stage(self.stage).label


class TemplateLine(StepLine):
    """One step of a template."""

    template = models.ForeignKey(StepTemplate, on_delete=models.CASCADE, related_name="lines")


class Step(StepLine):
    """One step of a job."""

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="steps")
    state = models.CharField(max_length=8, choices=StepState.choices, default=StepState.WAITING)
    due_on = models.DateField(null=True, blank=True)
    skip_reason = models.CharField(max_length=200, blank=True)
    started_at = models.DateTimeField(null=True, blank=True)
    started_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    finished_at = models.DateTimeField(null=True, blank=True)
    finished_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta(StepLine.Meta):
        constraints = [
            models.UniqueConstraint(fields=["commission", "position"], name="bench_one_step_per_place"),
            models.UniqueConstraint(
                fields=["commission"], condition=models.Q(state="open"), name="bench_one_open_step_per_job"
            ),
        ]

    def __str__(self):
        return self.name

    @property
    def is_over(self) -> bool:
        """Whether nothing more is to be done about it."""
        return self.state in (StepState.DONE, StepState.SKIPPED)
