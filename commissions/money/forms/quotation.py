"""The quotation's editor: lines that were worked out and lines by hand, in one table."""

from __future__ import annotations

from decimal import Decimal

from django import forms

from commissions.money.forms.fields import Figure
from commissions.money.lines import NewLine, plainly, rounded
from commissions.money.models import LineKind, TaxCode
from commissions.money.plans import PLANS
from studio import clock
from studio.amounts import exponent
from studio.fields import DateBoxes
from studio.forms import PlainForm


class Line(PlainForm):
    """One line; an empty one is left out."""

    kind = forms.ChoiceField(label="Kind", choices=LineKind.choices, initial=LineKind.MAKING)
    words = forms.CharField(label="Words", max_length=200, required=False)
    quantity = Figure(label="Quantity", required=False, initial="1")
    unit = forms.CharField(
        label="Unit", max_length=20, required=False, widget=forms.TextInput(attrs={"class": "short"})
    )
    price = Figure(label="Price of one", required=False)
    cost = Figure(label="Cost to us, whole line", required=False)
    tax_code = forms.ModelChoiceField(
        label="Tax", queryset=TaxCode.objects.filter(active=True), to_field_name="code", required=False
    )
    place = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def clean(self):
        cleaned = super().clean()
        filled = any(cleaned.get(name) for name in ("words", "price"))
        if not filled or cleaned.get("DELETE"):
            return cleaned
        for name, message in (("words", "Say what this line is for."), ("price", "Give the price of one.")):
            if not cleaned.get(name) and name not in self.errors and cleaned.get(name) != Decimal(0):
                self.add_error(name, message)
        if not cleaned.get("tax_code") and "tax_code" not in self.errors:
            self.add_error("tax_code", "Choose a tax code.")
        quantity = cleaned.get("quantity")
        if quantity is not None and quantity <= 0:
            self.add_error("quantity", "More than nought, please.")
        price = cleaned.get("price")
        if price is not None and price < 0 and cleaned.get("kind") != LineKind.ADJUSTMENT:
            self.add_error("price", "Only an adjustment may lower the price.")
        return cleaned


class Lines(forms.BaseFormSet):
    """All lines of a quotation."""

    def clean(self):
        if any(self.errors):
            return
        if not any(
            form.cleaned_data.get("words") and not form.cleaned_data.get("DELETE") for form in self.forms
        ):
            raise forms.ValidationError("A quotation needs at least one line.")


def lines_formset(*, extra: int = 3):
    """The class of the table, with *extra* empty lines."""
    return forms.formset_factory(
        Line, formset=Lines, extra=extra, max_num=60, absolute_max=80, can_delete=True
    )


def initial_of(lines: list[NewLine], *, currency: str) -> list[dict]:
    """What the table shows of lines."""
    scale = -exponent(currency)
    return [
        {
            "kind": line.kind,
            "words": line.words,
            "quantity": plainly(line.quantity),
            "unit": line.unit,
            "price": plainly(line.unit_minor.scaleb(scale)),
            "cost": plainly(Decimal(line.cost_minor).scaleb(scale)),
            "tax_code": line.tax_code,
            "place": place,
        }
        for place, line in enumerate(lines)
    ]


def lines_of(formset, *, currency: str, known: list[NewLine]) -> list[NewLine]:
    """
    Lines of a valid table.

    A line that still has the price it was worked out with keeps its origin; one that was changed says so.
    """
    scale = exponent(currency)
    lines = []
    for form in formset.forms:
        row = form.cleaned_data
        if not row.get("words") or row.get("DELETE"):
            continue
        unit_minor = row["price"].scaleb(scale)
        place = row.get("place")
        before = known[place] if place is not None and 0 <= place < len(known) else None
        origin = dict(before.computed_from) if before else {}
        if before and (
            before.unit_minor != unit_minor or before.quantity != (row.get("quantity") or Decimal(1))
        ):
            origin["changed by hand from"] = f"{before.quantity} × {before.unit_minor.scaleb(-scale)}"
        tax = row["tax_code"]
        lines.append(
            NewLine(
                kind=row["kind"],
                words=row["words"],
                quantity=row.get("quantity") or Decimal(1),
                unit=row.get("unit") or "",
                unit_minor=unit_minor,
                cost_minor=rounded((row.get("cost") or Decimal(0)).scaleb(scale)),
                tax_code=tax.code,
                tax_rate=tax.rate,
                computed_from=origin or {"by": "hand"},
            )
        )
    return lines


class Terms(PlainForm):
    """What stands round the lines."""

    plan = forms.ChoiceField(label="Plan of instalments", choices=[(name, name) for name in PLANS])
    country = forms.CharField(
        label="Country of delivery",
        max_length=2,
        help_text="Two letters. The tax codes proposed follow from it; you decide.",
        widget=forms.TextInput(attrs={"class": "short"}),
    )
    tax_note = forms.CharField(label="Tax, in words on the paper", max_length=200, required=False)
    metal_clause = forms.CharField(
        label="Metal clause", max_length=400, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )
    withdrawal = forms.CharField(
        label="Right to withdraw", max_length=300, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )
    second_currency = forms.CharField(
        label="Show the total in a second currency as well",
        max_length=3,
        required=False,
        widget=forms.TextInput(attrs={"class": "short"}),
        help_text="Three letters. For information only: the price stays in the currency of the commission.",
    )
    second_rate = Figure(label="Rate of one unit", places=6, required=False, low=Decimal(0))
    second_source = forms.CharField(label="Where the rate comes from", max_length=120, required=False)
    landed_duty = Figure(
        label="Import duty at the client's end, percent, an estimate",
        places=3,
        required=False,
        low=Decimal(0),
        help_text="Where the ring crosses a border. Leave both empty and the paper only says that customs may charge.",
    )
    landed_tax = Figure(
        label="Import tax at the client's end, percent, an estimate", places=3, required=False, low=Decimal(0)
    )
    landed_source = forms.CharField(
        label="Where these rates stand",
        max_length=160,
        required=False,
        help_text="The tariff of that country and the heading you looked under.",
    )
    landed_on = DateBoxes(label="Looked up on", required=False)
    note = forms.CharField(
        label="A word to the client",
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    def clean_second_currency(self):
        code = self.cleaned_data["second_currency"].upper()
        if code:
            try:
                exponent(code)
            except ValueError:
                raise forms.ValidationError("That is no currency we know.") from None
        return code

    def clean(self):
        cleaned = super().clean()
        rates = [cleaned.get(name) for name in ("landed_duty", "landed_tax")]
        if any(rate is not None for rate in rates):
            if not cleaned.get("landed_source"):
                self.add_error("landed_source", "Say where the rates stand.")
            if not cleaned.get("landed_on") and "landed_on" not in self.errors:
                self.add_error("landed_on", "Say on which day you looked.")
        for name in ("landed_duty", "landed_tax"):
            if (cleaned.get(name) or 0) > 200:
                self.add_error(name, "At most 200 percent.")
        if cleaned.get("second_currency"):
            if not cleaned.get("second_rate") and "second_rate" not in self.errors:
                self.add_error("second_rate", "Give the rate of one unit.")
            if not cleaned.get("second_source"):
                self.add_error("second_source", "Say where the rate comes from.")
        return cleaned


class Send(PlainForm):
    """Until when the offer holds."""

    valid_until = DateBoxes(label="The offer holds until")

    def clean_valid_until(self):
        on = self.cleaned_data["valid_until"]
        if on <= clock.today():
            raise forms.ValidationError("A day to come, please.")
        return on
