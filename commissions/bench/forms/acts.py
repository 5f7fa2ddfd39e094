"""One form for each kind of act; the plain page and the phone's queue send the same fields."""

from __future__ import annotations

import uuid

from django import forms

from commissions.bench.defaults import FINAL_SHOTS
from commissions.bench.forms.fields import CaratField, GramsField
from commissions.bench.models import ActKind, WeighingKind
from studio.forms import PlainForm

CAMERA = forms.FileInput(attrs={"accept": "image/*", "capture": "environment"})
LIBRARY = forms.FileInput(attrs={"accept": "image/*"})


class ActForm(PlainForm):
    """What every act carries: the id its phone made, and the phone's time."""

    act_id = forms.UUIDField(widget=forms.HiddenInput)
    made_at = forms.DateTimeField(required=False, widget=forms.HiddenInput)

    def __init__(self, data=None, files=None, **options):
        options.setdefault("initial", {}).setdefault("act_id", uuid.uuid4())
        self.too_large = options.pop("too_large", [])
        super().__init__(data, files, **options)

    def details(self) -> dict:
        """The act's own particulars, as its action takes them."""
        return {}

    def upload(self):
        """The photo that comes with it, from whichever of the two inputs."""
        return self.cleaned_data.get("camera") or self.cleaned_data.get("library")


class StepForm(ActForm):
    """Start or finish the step that the page showed, not whichever has become current since."""

    step = forms.IntegerField(required=False, widget=forms.HiddenInput)

    def details(self) -> dict:
        return {"step": self.cleaned_data["step"]}


class PhotoForm(ActForm):
    """A photograph from the camera or from the phone's store."""

    camera = forms.FileField(label="Take a photo", required=False, widget=CAMERA)
    library = forms.FileField(label="Choose a photo", required=False, widget=LIBRARY)
    shot = forms.ChoiceField(label="Shot", choices=[("", "Free"), *FINAL_SHOTS], required=False)
    caption = forms.CharField(label="What it shows", max_length=160, required=False)
    scale = forms.CharField(label="Scale", max_length=40, required=False)

    def clean(self):
        fields = super().clean()
        if self.too_large:
            raise forms.ValidationError("This photo is larger than 30 MB.")
        if not self.upload():
            raise forms.ValidationError("Take a photo, or choose one.")
        return fields

    def details(self) -> dict:
        shot = self.cleaned_data["shot"]
        caption = self.cleaned_data["caption"] or dict(FINAL_SHOTS).get(shot, "")
        return {"shot": shot, "caption": caption, "scale": self.cleaned_data["scale"]}


class WeighForm(ActForm):
    """A weight with its tare."""

    what = forms.ChoiceField(label="What lies on the scale", choices=WeighingKind.choices)
    grams = GramsField(label="Weight in g")
    tare = GramsField(label="Tare in g", required=False)
    scale = forms.CharField(label="Scale", max_length=40, required=False)
    sure = forms.BooleanField(label="I have looked again: the weight is right", required=False)

    def clean(self):
        fields = super().clean()
        if "grams" in fields and "tare" in fields and fields["grams"] <= fields["tare"]:
            self.add_error("grams", "The weight has to be more than the tare.")
        return fields

    def details(self) -> dict:
        fields = self.cleaned_data
        return {
            "what": fields["what"],
            "gross_mg": fields["grams"],
            "tare_mg": fields["tare"],
            "scale": fields["scale"],
            "sure": fields["sure"],
        }


class ProblemForm(ActForm):
    """What is wrong, in words, with a photo where one helps."""

    words = forms.CharField(label="What is wrong?", max_length=400, widget=forms.Textarea(attrs={"rows": 3}))
    camera = forms.FileField(label="Take a photo", required=False, widget=CAMERA)
    library = forms.FileField(label="Choose a photo", required=False, widget=LIBRARY)

    def details(self) -> dict:
        return {"words": self.cleaned_data["words"]}


COUNTS = ("issued", "set", "returned", "broken", "lost")
GONE = ("returned", "broken", "lost")
FIGURE = {"inputmode": "numeric", "autocomplete": "off", "class": "figure"}


def _count(label: str, *, required: bool = True) -> forms.IntegerField:
    return forms.IntegerField(
        label=label, min_value=0, max_value=999, required=required, widget=forms.TextInput(attrs=FIGURE)
    )


class CountForm(ActForm):
    """
    Where every issued stone is: lot by lot where the drawer issued them, otherwise in all.

    ``lots`` names the lots that the page showed, so that a page from the phone's memory is read as it was.
    """

    lots = forms.CharField(required=False, max_length=400, widget=forms.HiddenInput)

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        typed = self.data.get("lots", "") if self.is_bound else self.initial.get("lots", "")
        self.lot_ids = [int(word) for word in typed.split(",") if word.isdecimal()][:40]
        if not self.lot_ids:
            self.fields |= {name: _count(name.capitalize()) for name in COUNTS}
        for pk in self.lot_ids:
            self.fields[f"set_{pk}"] = _count("Set")
            for name in GONE:
                self.fields[f"{name}_{pk}"] = _count(name.capitalize(), required=False)
                self.initial.setdefault(f"{name}_{pk}", 0)
            for name, label in (("returned", "Back, weighed, ct"), ("broken", "Pieces, weighed, ct")):
                self.fields[f"{name}_ct_{pk}"] = CaratField(label=label, required=False)

    def details(self) -> dict:
        if not self.lot_ids:
            return {name: self.cleaned_data[name] for name in COUNTS}
        return {"lines": [self._line(pk) for pk in self.lot_ids]}

    def _line(self, pk: int) -> dict:
        line = {"lot": pk, "set": self.cleaned_data[f"set_{pk}"]}
        line |= {name: self.cleaned_data[f"{name}_{pk}"] or 0 for name in GONE}
        return line | {f"{name}_mct": self.cleaned_data[f"{name}_ct_{pk}"] for name in ("returned", "broken")}


ACT_FORMS: dict[str, type[ActForm]] = {
    ActKind.START: StepForm,
    ActKind.DONE: StepForm,
    ActKind.PHOTO: PhotoForm,
    ActKind.WEIGH: WeighForm,
    ActKind.PROBLEM: ProblemForm,
    ActKind.TIME_ON: ActForm,
    ActKind.TIME_OFF: ActForm,
    ActKind.COUNT: CountForm,
}
