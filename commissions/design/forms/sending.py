"""What is asked before a revision is sent, and what is said of revisions beforehand."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation

from django import forms

from commissions.design.comments import Talk
from commissions.design.terms import Included
from studio.amounts import exponent, from_minor, typed_to_minor
from studio.forms import PlainForm


class Send(PlainForm):
    """Open comments that this revision settles, and whether it counts."""

    settles = forms.MultipleChoiceField(
        label="Comments that this revision settles",
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="They are closed with the words “Changed in this revision”; the client may open one again.",
    )
    ours = forms.BooleanField(label="It is our own doing and does not count", required=False)
    reason = forms.CharField(label="Why it does not count", max_length=200, required=False)

    despite = forms.CharField(
        label="Why it is sent all the same",
        max_length=300,
        widget=forms.Textarea(attrs={"rows": 2}),
        error_messages={"required": "Change what cannot be made, or say why it is sent all the same."},
        help_text="A check says stop. Your reason stands in the record; the client does not read it.",
    )

    def __init__(self, *args, talks: list[Talk], included: Included | None, stops: list[str], **kwargs):
        super().__init__(*args, **kwargs)
        if not stops:
            del self.fields["despite"]
        if talks:
            self.fields["settles"].choices = [
                (str(talk.comment.pk), f"{talk.label} {talk.where}: {talk.comment.words[:90]}")
                for talk in talks
            ]
        else:
            del self.fields["settles"]
        if included is None:
            del self.fields["ours"], self.fields["reason"]

    def clean(self):
        data = super().clean()
        if data.get("ours") and not data.get("reason", "").strip() and "reason" not in self.errors:
            self.add_error("reason", "Say why: it stands in the record.")
        return data


class Terms(PlainForm):
    """How many revisions are included, and the price of the next."""

    included = forms.IntegerField(label="Revisions included", min_value=1, max_value=20)
    price = forms.CharField(
        label="Price of a further one",
        max_length=20,
        required=False,
        help_text="Left empty, the client is told the count and no price.",
    )

    def __init__(self, *args, currency: str, **kwargs):
        super().__init__(*args, **kwargs)
        self.currency = currency
        self.fields["price"].label = f"Price of a further one, {currency}"

    def clean_price(self) -> int | None:
        typed = self.cleaned_data["price"].strip()
        if not typed:
            return None
        try:
            minor = typed_to_minor(typed=typed, currency=self.currency)
        except (ValueError, InvalidOperation):
            places = exponent(self.currency)
            example = f"{Decimal(120):.{places}f}"
            raise forms.ValidationError(f"Write an amount such as {example}.") from None
        if minor < 0:
            raise forms.ValidationError("A revision cannot cost less than nothing.")
        return minor


def terms_typed(included: Included | None) -> dict:
    """What the form shows of what was said."""
    if included is None:
        return {"included": 3, "price": ""}
    price = (
        ""
        if included.price_minor is None
        else str(from_minor(minor=included.price_minor, currency=included.currency))
    )
    return {"included": included.included, "price": price}
