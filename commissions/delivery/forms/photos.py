"""Several photographs in one field."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

MOST = 4


class _Several(forms.ClearableFileInput):
    allow_multiple_selected = True
    template_name = "django/forms/widgets/file.html"


class Photographs(forms.FileField):
    """Up to four photographs; a list of uploaded files, empty where none came."""

    def __init__(self, **kwargs):
        kwargs.setdefault("label", _("Photographs"))
        kwargs.setdefault(
            "help_text",
            _(
                "Up to four: from above, from the side, and close to what you mean. By daylight, the ring off the hand."
            ),
        )
        super().__init__(
            required=False, widget=_Several(attrs={"accept": "image/*", "multiple": True}), **kwargs
        )

    def clean(self, data, initial=None):
        files = [file for file in (data if isinstance(data, list | tuple) else [data]) if file]
        files = [super(Photographs, self).clean(file, initial) for file in files]
        if len(files) > MOST:
            raise forms.ValidationError(_now("Four photographs are enough: choose the clearest."))
        return files
