"""Files that are added to a revision, scans of its stone, and models laid over it."""

from __future__ import annotations

from django import forms
from django.conf import settings

from commissions.design.forms.fields import Millimetres
from commissions.design.incoming import MODELS, PICTURES, SCANS
from commissions.design.models import FileKind
from gemcalc.models import KINDS as MESHES
from gemcalc.scan.families import CUTS
from gemcalc.scan.reading import UNITS
from studio.fields import Words
from studio.forms import PlainForm


def _accept(endings) -> str:
    return ",".join(f".{ending}" for ending in endings)


class Taken(forms.FileField):
    """A box for one file; an empty one is refused by whoever reads it, in words of its own."""

    def __init__(self, *, endings, **more):
        more.setdefault("widget", forms.FileInput(attrs={"accept": _accept(endings)}))
        super().__init__(allow_empty_file=True, max_length=200, **more)


class _WithFile(PlainForm):
    """A file that was cut off while it arrived says so beside its box."""

    def __init__(self, data=None, files=None, *, too_large=(), **more):
        self.too_large = tuple(too_large)
        super().__init__(data, files, **more)

    def clean(self):
        for name in self.too_large:
            if name in self.fields:
                self.errors.pop(name, None)
                self.add_error(
                    name, f"This file is larger than {settings.UPLOAD_FILE_MB} MB and was not taken."
                )
        return super().clean()


class NewFile(_WithFile):
    """A picture or a CAD model that belongs to a draft."""

    kind = forms.ChoiceField(
        label="What it is",
        choices=[(FileKind.RENDER, "A picture of the design"), (FileKind.MODEL, "A CAD model")],
        widget=forms.RadioSelect,
        initial=FileKind.RENDER,
    )
    file = Taken(
        label="The file",
        endings=(*PICTURES, *MODELS),
        help_text=f"Pictures: JPEG, PNG, WebP, HEIC. Models: {', '.join(kind.upper() for kind in MESHES)}, STEP. "
        f"Up to {settings.UPLOAD_FILE_MB} MB.",
    )
    words = Words(
        label="What it shows",
        max_length=300,
        required=False,
        help_text="Under a picture the client reads this: say what in it is only illustrative.",
    )


class NewScan(_WithFile):
    """A scan of the stone for the seat of a draft."""

    file = Taken(
        label="Scan of the stone",
        endings=SCANS,
        help_text="Points or curves of the girdle seen from above: CSV, TXT, XYZ, DXF or SVG, up to 5 MB.",
    )


class Fitted(PlainForm):
    """How a scan is read: corrected where the guess is wrong."""

    unit = forms.ChoiceField(
        label="Unit", required=False, choices=[("", "As guessed"), *((unit, unit) for unit in UNITS)]
    )
    cut = forms.ChoiceField(
        label="Cut, if you know it",
        required=False,
        choices=[("", "Find it out"), *((word, word.capitalize()) for word in CUTS)],
    )
    weight = forms.DecimalField(
        label="Weight, ct, if you know it",
        required=False,
        min_value=0,
        max_value=1000,
        help_text="It settles the unit.",
        widget=forms.TextInput(attrs={"inputmode": "decimal", "class": "short"}),
    )

    def clean_weight(self):
        value = self.cleaned_data["weight"]
        if value is not None and value < 0.001:
            raise forms.ValidationError("Write the weight in carat, such as 1.042.")
        return float(value) if value is not None else None


class Opening(_WithFile):
    """The opening of a model, to be laid over the stone."""

    of = forms.ChoiceField(label="From the files of this revision", required=False)
    file = Taken(
        label="or a file of your own",
        required=False,
        endings=(*SCANS, *MESHES),
        help_text="The halo's inner outline as DXF, SVG or CSV, or the model as STL, 3MF, OBJ or PLY, seen from above.",
    )
    unit = forms.ChoiceField(
        label="Unit of the file",
        required=False,
        choices=[("", "As the file says, else guessed"), *((unit, unit) for unit in UNITS)],
    )
    axis = forms.ChoiceField(
        label="The model looks up along",
        required=False,
        choices=[("", "Find it out"), ("z", "z"), ("y", "y"), ("x", "x")],
    )
    level_mm = forms.DecimalField(
        label="Level of the girdle on that axis, mm",
        required=False,
        max_digits=8,
        decimal_places=3,
        help_text="Of the model's own measure. Left empty, the level whose opening comes nearest to the stone.",
        widget=forms.TextInput(attrs={"inputmode": "decimal", "class": "short"}),
    )
    low_mm = Millimetres(label="Gap wanted from, mm", initial="0.05", max_value=5)
    high_mm = Millimetres(label="to, mm", initial="0.15", max_value=5)
    align = forms.ChoiceField(
        label="How they lie",
        choices=[("yes", "Lay the stone in as evenly as it goes"), ("no", "Both in one frame already")],
        initial="yes",
        required=False,
    )
    note = Words(label="Note", max_length=300, required=False)

    names = {"opening_mm": "file", "girdle_mm": "file", "wanted_mm": "low_mm", "path": "file"}

    def __init__(self, *args, models=(), **more):
        super().__init__(*args, **more)
        self.fields["of"].choices = [("", "None of them"), *((str(row.pk), row.name) for row in models)]
        if not models:
            del self.fields["of"]

    def clean(self):
        cleaned = super().clean()
        if not cleaned.get("file") and not cleaned.get("of") and "file" not in self.errors:
            self.add_error("file", "Choose the file that holds the opening.")
        low, high = cleaned.get("low_mm"), cleaned.get("high_mm")
        if low is not None and high is not None and high < low:
            self.add_error("high_mm", "This must not be less than the least gap wanted.")
        if cleaned.get("level_mm") is not None and not cleaned.get("axis"):
            self.add_error("axis", "Say along which axis the level is given.")
        return cleaned
