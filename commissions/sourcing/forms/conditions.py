"""What is typed about a stone's condition."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from commissions.sourcing.models import Bearer
from studio.forms import PlainForm

BEARERS = [
    (Bearer.US, "We bear the ordinary risk of setting"),
    (Bearer.CLIENT, "The client accepts the risk named below"),
    (Bearer.NOBODY, "We decline to set this stone"),
]


def _words(label: str, *, required: bool = True, hint: str = "") -> forms.CharField:
    return forms.CharField(
        label=label,
        max_length=2000,
        required=required,
        help_text=hint,
        widget=forms.Textarea(attrs={"rows": 3}),
    )


class ConditionForm(PlainForm):
    """The condition as it will be put to the client."""

    damage = _words("Damage that is there now", hint="Write “none seen at ten times” where that is so.")
    setting = _words("How it will be set")
    bearer = forms.ChoiceField(label="Who bears what", choices=BEARERS, widget=forms.RadioSelect)
    risk = _words(
        "The risk, named",
        required=False,
        hint="Name the mark, its place and what may happen; a general disclaimer binds nobody.",
    )
    remedy = _words("What we do if it breaks", hint="Replacement, repair or a sum, and up to how much.")
    insurance = _words(
        "Insurance",
        hint="Many policies leave out damage while a stone is worked on: ask your insurer before you write here.",
    )


class ConditionSaid(PlainForm):
    """What the client says to a condition."""

    words = forms.CharField(
        label=_("A question or a wish"),
        max_length=5000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("Needed only when you ask; leave it empty to sign."),
    )


class SameSaid(PlainForm):
    """Whether it is the stone."""

    words = forms.CharField(
        label=_("What looks different"),
        max_length=5000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("Needed only when it is not your stone."),
    )
