"""One form for each kind of act; the plain page and the phone's queue send the same fields."""

from __future__ import annotations

import uuid

from django import forms

from commissions.bench.defaults import FINAL_SHOTS
from commissions.bench.forms.fields import GramsField
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


class CountForm(ActForm):
    """Where every issued stone is."""

    issued = forms.IntegerField(label="Issued", min_value=0, max_value=999)
    set = forms.IntegerField(label="Set", min_value=0, max_value=999)
    returned = forms.IntegerField(label="Returned", min_value=0, max_value=999)
    broken = forms.IntegerField(label="Broken", min_value=0, max_value=999)
    lost = forms.IntegerField(label="Lost", min_value=0, max_value=999)

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        for name in COUNTS:
            self.fields[name].widget = forms.TextInput(
                attrs={"inputmode": "numeric", "autocomplete": "off", "class": "figure"}
            )

    def details(self) -> dict:
        return {name: self.cleaned_data[name] for name in COUNTS}


COUNTS = ("issued", "set", "returned", "broken", "lost")

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
