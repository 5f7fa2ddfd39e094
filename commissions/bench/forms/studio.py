"""Forms of the studio's pages about the bench."""

from __future__ import annotations

from django import forms

from commissions.bench.cautions import CAUTIONS
from commissions.bench.forms.acts import CAMERA, LIBRARY
from commissions.bench.models import StepTemplate, SupplierTask, Verdict
from commissions.record.route import BENCH, Stage
from studio.forms import PlainForm


class BeginForm(PlainForm):
    """Which steps this job takes."""

    template = forms.ModelChoiceField(
        label="Steps of this job",
        queryset=StepTemplate.objects.none(),
        widget=forms.RadioSelect,
        empty_label=None,
    )
    override_reason = forms.CharField(
        label="Why the work begins before the first instalment",
        max_length=200,
        required=False,
        help_text="Only the owner may decide this, and the reason stays on record.",
    )

    def __init__(self, *args, **options):
        owner = options.pop("owner")
        super().__init__(*args, **options)
        self.fields["template"].queryset = StepTemplate.objects.filter(is_active=True)
        if not owner:
            del self.fields["override_reason"]


class ReleaseForm(PlainForm):
    """The last look before a client sees a photo."""

    caption = forms.CharField(label="What it shows", max_length=160, required=False)
    scale = forms.CharField(
        label="Scale",
        max_length=40,
        required=False,
        help_text="Such as: shown 8 times its size. Clients misjudge size from close-ups.",
    )
    background_checked = forms.BooleanField(
        label="Background checked: no name, address, price or other ring is in sight", required=False
    )


def _figure() -> forms.DecimalField:
    return forms.DecimalField(
        max_digits=7,
        decimal_places=2,
        required=False,
        localize=False,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off", "class": "figure"}),
    )


class CheckLineForm(PlainForm):
    """One line of the check sheet, with the figures that it asks for."""

    verdict = forms.ChoiceField(label="What did you find?", choices=Verdict.choices, widget=forms.RadioSelect)
    measured = _figure()
    second = _figure()
    note = forms.CharField(label="In a few words", max_length=240, required=False)
    camera = forms.FileField(label="Take a photo", required=False, widget=CAMERA)
    library = forms.FileField(label="Choose a photo", required=False, widget=LIBRARY)

    def __init__(self, *args, line, **options):
        super().__init__(*args, **options)
        names = ("measured", "second")
        for name, measure in zip(names, line.measures, strict=False):
            self.fields[name].label = f"{measure.label}, {measure.unit}"
        for name in names[len(line.measures) :]:
            del self.fields[name]


class LeaveOutForm(PlainForm):
    """Why a step is left out."""

    reason = forms.CharField(label="Why is it left out?", max_length=200)


class AnswerForm(PlainForm):
    """How a problem was solved."""

    answer = forms.CharField(
        label="How was it solved?", max_length=400, widget=forms.Textarea(attrs={"rows": 3})
    )


class TimeForm(PlainForm):
    """A spell put right, in the studio's own time."""

    started_at = forms.DateTimeField(
        label="From", widget=forms.DateTimeInput(attrs={"type": "datetime-local"})
    )
    ended_at = forms.DateTimeField(label="To", widget=forms.DateTimeInput(attrs={"type": "datetime-local"}))
    reason = forms.CharField(label="Why is it changed?", max_length=200)


class TemplateForm(PlainForm):
    """A template, one step a line: ``Stage | Step | minutes | done by | cautions | what to look for``."""

    name = forms.CharField(label="Name", max_length=80)
    words = forms.CharField(label="For which jobs", max_length=200, required=False)
    is_active = forms.BooleanField(label="Offered for new jobs", required=False)
    lines = forms.CharField(label="Steps", max_length=8000, widget=forms.Textarea(attrs={"rows": 18}))

    def clean_lines(self):
        rows, wrong = [], []
        for place, typed in enumerate(self.cleaned_data["lines"].splitlines(), start=1):
            if typed.strip():
                try:
                    rows.append(_read(typed))
                except ValueError as error:
                    wrong.append(f"Line {place}: {error}")
        if wrong:
            raise forms.ValidationError(wrong)
        return rows


def written(line) -> str:
    """A line of a template as it is typed."""
    parts = [
        str(line.stage_label),
        line.name,
        str(line.planned_minutes),
        line.supplier_task,
        line.cautions,
        line.words,
    ]
    return " | ".join(parts).rstrip(" |")


def _read(typed: str) -> dict:
    parts = [part.strip() for part in typed.split("|", 5)]
    stage, name, minutes, by, cautions, words = parts + [""] * (6 - len(parts))
    stages = {Stage(value).label.lower(): value for value in BENCH}
    if stage.lower() not in stages:
        raise ValueError(f"“{stage[:20]}” is not a stage of the bench.")
    if not name or len(name) > 80:
        raise ValueError("a step needs a name of at most 80 letters.")
    if minutes and (not minutes.isdecimal() or int(minutes) > 6000):
        raise ValueError("the planned minutes are a whole number up to 6000.")
    if by not in SupplierTask.values:
        raise ValueError(f"done by is empty or one of: {', '.join(filter(None, SupplierTask.values))}.")
    unknown = [key for key in cautions.split() if key not in CAUTIONS]
    if unknown:
        raise ValueError(f"no caution is called “{unknown[0][:20]}”; there are: {', '.join(CAUTIONS)}.")
    return {
        "stage": stages[stage.lower()],
        "name": name,
        "planned_minutes": int(minutes or 60),
        "supplier_task": by,
        "cautions": cautions[:80],
        "words": words[:240],
    }
