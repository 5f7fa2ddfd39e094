"""Pictures, each with words."""

from __future__ import annotations

from django import forms
from django.conf import settings
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from commissions.intake.forms.base import Asked
from studio.fields import Words
from studio.forms import PlainForm

MOST_PICTURES = 12
TAKEN = "image/jpeg,image/png,image/webp,image/heic,image/heif,.heic,.heif"


class Files(forms.FileInput):
    """A box for several files at once."""

    allow_multiple_selected = True

    def value_from_datadict(self, data, files, name):
        return files.getlist(name) if hasattr(files, "getlist") else files.get(name)


class ManyFiles(forms.FileField):
    """Several files; none is an answer too."""

    widget = Files

    def clean(self, data, initial=None):
        return [super(ManyFiles, self).clean(one, initial) for one in data or []]


class Pictures(Asked):
    """Pictures that show what is meant."""

    slug = "pictures"
    title = _("Do you have pictures?")
    short = _("Pictures")
    why = _(
        "Rings, drawings, a leaf, a building. Say in each what you like: a picture alone can mean anything."
    )

    files = ManyFiles(
        label=_("Add pictures"),
        required=False,
        help_text=_("JPEG, PNG, WebP or HEIC, up to %(most)s pictures of %(size)s MB. We keep no place data.")
        % {"most": MOST_PICTURES, "size": settings.UPLOAD_FILE_MB},
        widget=Files(attrs={"accept": TAKEN}),
    )

    def answer(self):
        return {"seen": True}

    @classmethod
    def words(cls, answer):
        return ""


class PictureWords(PlainForm):
    """What is liked in one picture, and what is not meant."""

    liked = Words(
        label=_("What I like here"),
        required=False,
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 2}),
    )
    not_this = Words(
        label=_("Not this"),
        required=False,
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 2}),
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        for box in self.fields.values():
            box.needed_if = True

    def clean(self):
        data = super().clean()
        if not data.get("liked") and not data.get("not_this") and not self.errors:
            self.add_error("liked", _now("Say what you like in this picture, or what you do not mean."))
        return data
