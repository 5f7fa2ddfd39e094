"""What the studio types when it opens a commission."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from commissions.intake.places import currency_choices
from commissions.record.holdpoints import MEANINGS
from commissions.record.models import ClientWord, HoldPoint
from studio.fields import DateBoxes, Words
from studio.forms import PlainForm


class OpenCommission(PlainForm):
    """A commission out of a brief, proposed from the answers."""

    title = Words(
        label="What it is",
        max_length=120,
        help_text="A short name that everybody in the studio understands; the client reads it too.",
        error_messages={"required": "Give it a short name."},
    )
    currency = forms.ChoiceField(
        label="Currency of the price", error_messages={"required": "Choose the currency."}
    )
    needed_by = DateBoxes(
        label="Needed by",
        required=False,
        help_text="As the client wrote it. Leave it empty for no fixed day.",
    )
    discreet = forms.BooleanField(
        label="Surprise: letters in neutral words, nobody telephones", required=False
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["currency"].choices = currency_choices()


class HoldPoints(forms.MultipleChoiceField):
    """Where the client wants to be asked before the work goes on."""

    def __init__(self, **kwargs):
        super().__init__(
            label=_("Where should we stop and wait for your word?"),
            choices=[(point.value, words) for point, words in MEANINGS.items()],
            required=False,
            widget=forms.CheckboxSelectMultiple,
            help_text=_(
                "Each costs a day or two. You get photographs, and nothing goes on before you say so. "
                "You can change this until that part is made."
            ),
            **kwargs,
        )
        self.needed_if = True  # a question with no answer is an answer: nowhere


class ChooseHoldPoints(PlainForm):
    """The hold points by themselves."""

    holds = HoldPoints()

    def __init__(self, *args, points: list[str], **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["holds"].choices = [(point, MEANINGS[HoldPoint(point)]) for point in points]


class WordGiven(PlainForm):
    """A word that a client gave to one of us."""

    answer = forms.ChoiceField(
        label="What the client said",
        choices=[("approve", "Go on"), ("ask", "A question first"), ("not-yet", "Not yet")],
        widget=forms.RadioSelect,
        error_messages={"required": "Say which of the three."},
    )
    said_by = Words(label="Who said it", max_length=120, error_messages={"required": "Write who said it."})
    way = forms.ChoiceField(
        label="How",
        choices=[row for row in ClientWord.Way.choices if row[0] != ClientWord.Way.PAGE],
        initial=ClientWord.Way.TELEPHONE,
    )
    said_on = DateBoxes(label="When")
    words = Words(
        label="In their words",
        max_length=3000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Needed where they ask or say not yet.",
    )

    def clean(self):
        data = super().clean()
        if data.get("answer") in ("ask", "not-yet") and not data.get("words") and "words" not in self.errors:
            self.add_error("words", "Write what they asked, or what is to be changed.")
        return data
