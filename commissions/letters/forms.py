"""What a person types about a letter."""

from __future__ import annotations

from django import forms

from commissions.bench.models import Photo
from commissions.letters.discretion import discreet_words
from commissions.letters.models import Draft
from studio.forms import PlainForm


class Editor(PlainForm):
    """The words of a draft and the photos that go along; a surprise is read for words that give it away."""

    subject = forms.CharField(
        max_length=120, help_text="Say first what the client is to do. The reference is added."
    )
    words = forms.CharField(max_length=4000, label="Words", widget=forms.Textarea(attrs={"rows": 8}))
    photos = forms.TypedMultipleChoiceField(
        required=False, coerce=int, label="Photos that go along", widget=forms.CheckboxSelectMultiple
    )

    def __init__(self, *args, draft: Draft, choosable: list[Photo], **kwargs):
        super().__init__(*args, **kwargs)
        self.discreet = draft.commission.discreet
        self.fields["photos"].choices = [(photo.pk, str(photo)) for photo in choosable]

    def _neutral(self, name: str) -> str:
        value = self.cleaned_data[name]
        telling = discreet_words(value) if self.discreet else []
        if telling:
            raise forms.ValidationError(f"This is a surprise. Leave out: {', '.join(telling)}.")
        return value

    def clean_subject(self):
        return " ".join(self._neutral("subject").split())

    def clean_words(self):
        return self._neutral("words")


class Reply(PlainForm):
    """What a client answered by letter."""

    body = forms.CharField(max_length=5000, label="What they wrote", widget=forms.Textarea(attrs={"rows": 8}))


class WishForm(PlainForm):
    """What the client wishes of our letters."""

    photos = forms.NullBooleanField(required=False)
    progress = forms.NullBooleanField(required=False)
