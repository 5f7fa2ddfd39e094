"""The studio's own tables: prices and tax codes."""

from __future__ import annotations

from django import forms

from commissions.money.actions.prices import NewPrice
from commissions.money.forms.fields import Figure
from commissions.money.lines import plainly
from commissions.money.models import PriceKind, PriceList
from studio.fields import DateBoxes
from studio.forms import PlainForm

WITH_NAME = {PriceKind.METAL, PriceKind.MELEE, PriceKind.STEP}


class Prices(PlainForm):
    """
    A whole price list as lines of text would be hard to read: one box a price, grown from the list before.

    Named prices (metals, sizes, steps) come as rows; one empty row of each is there to add to.
    """

    source = forms.CharField(
        label="Where the metal prices come from",
        max_length=200,
        help_text="The name of the quotation and its time.",
    )

    def __init__(self, *args, before: PriceList | None, **kwargs):
        super().__init__(*args, **kwargs)
        known: dict[str, list] = {}
        for row in before.prices.all() if before else []:
            known.setdefault(row.kind, []).append(row)
        self.rows: list[dict] = []
        for kind in PriceKind:
            kept = list(known.get(kind, []))
            named = kind in WITH_NAME
            for row in [*kept, None] if named or not kept else kept:
                self._row(kind=kind, row=row, named=named)

    def _row(self, *, kind, row, named: bool) -> None:
        number = len(self.rows)
        label = PriceKind(kind).label
        names = {}
        if named:
            names["name"] = f"name-{number}"
            self.fields[names["name"]] = forms.CharField(
                label=f"{label}: which", max_length=80, required=False, initial=row.name if row else ""
            )
        names["price"] = f"price-{number}"
        self.fields[names["price"]] = Figure(
            label=label, required=False, low=0, initial=plainly(row.price) if row else ""
        )
        if kind not in (PriceKind.METAL_MARKUP, PriceKind.STONE_MARKUP, PriceKind.STEP):
            names["cost"] = f"cost-{number}"
            self.fields[names["cost"]] = Figure(
                label=f"{label}: cost to us", required=False, low=0, initial=plainly(row.cost) if row else ""
            )
        self.rows.append({"kind": kind, "label": label, **names})

    def shown_rows(self):
        """The rows with their bound fields, for the table."""
        return [
            {
                "label": row["label"],
                **{part: self[row[part]] for part in ("name", "price", "cost") if part in row},
            }
            for row in self.rows
        ]

    def prices(self) -> list[NewPrice]:
        """The prices that were filled in."""
        found = []
        for row in self.rows:
            price = self.cleaned_data.get(row["price"])
            if price is None:
                continue
            found.append(
                NewPrice(
                    kind=row["kind"],
                    name=self.cleaned_data.get(row.get("name", ""), "") or "",
                    price=price,
                    cost=self.cleaned_data.get(row.get("cost", "")) or 0,
                )
            )
        return found


class Bank(PlainForm):
    """Where clients pay to."""

    currency = forms.ChoiceField(label="Currency")
    holder = forms.CharField(label="Account holder", max_length=120)
    lines = forms.CharField(
        label="Bank, account and code",
        max_length=400,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text="One a line, as the client types them.",
    )

    def __init__(self, *args, currencies: list[str], **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["currency"].choices = [(code, code) for code in currencies]


class TaxRow(PlainForm):
    """One tax code."""

    code = forms.CharField(label="Code", max_length=20)
    words = forms.CharField(label="In words", max_length=120)
    rate = Figure(label="Rate, percent", places=3, low=0)
    country = forms.CharField(
        label="Country of delivery",
        max_length=2,
        required=False,
        help_text="Two letters; empty for every other country.",
        widget=forms.TextInput(attrs={"class": "short"}),
    )
    source = forms.CharField(label="Where the rate stands", max_length=200)
    checked_on = DateBoxes(label="Checked on")

    def clean_country(self):
        return self.cleaned_data["country"].upper()

    def clean_rate(self):
        rate = self.cleaned_data["rate"]
        if rate is not None and rate > 100:
            raise forms.ValidationError("At most 100 percent.")
        return rate
