"""Fields of the bench."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation

from django import forms

MOST_G = 2000


class GramsField(forms.CharField):
    """A weight typed in grams, with comma or point; the clean value is mg."""

    def __init__(self, **options):
        options.setdefault(
            "widget",
            forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off", "class": "figure"}),
        )
        super().__init__(max_length=12, **options)

    def clean(self, value):
        typed = super().clean(value)
        if not typed:
            return 0
        plain = typed.replace(" ", "").removesuffix("g").replace(",", ".")
        try:
            grams = Decimal(plain)
        except InvalidOperation:
            raise forms.ValidationError("Write the weight in grams, such as 4.31.") from None
        if not grams.is_finite() or grams < 0 or grams > MOST_G:
            raise forms.ValidationError(f"A weight lies between 0 and {MOST_G} g.")
        if grams * 1000 != (grams * 1000).to_integral_value():
            raise forms.ValidationError("A scale shows three decimals of a gram at most.")
        return int(grams * 1000)


class CaratField(forms.DecimalField):
    """A weight in carat; the clean value is 0.001 ct."""

    def __init__(self, **options):
        super().__init__(min_value=0, max_digits=8, decimal_places=3, **options)
        self.widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off", "class": "short"})

    def clean(self, value):
        return int((super().clean(value) or Decimal(0)) * 1000)
