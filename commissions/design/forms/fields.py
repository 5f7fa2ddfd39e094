"""Boxes of the design room."""

from __future__ import annotations

from django import forms


class Millimetres(forms.DecimalField):
    """A length in mm, with comma or point."""

    def __init__(self, **kwargs):
        kwargs.setdefault("min_value", 0)
        super().__init__(
            max_digits=7,
            decimal_places=3,
            widget=forms.TextInput(attrs={"inputmode": "decimal", "class": "short"}),
            **kwargs,
        )

    def to_python(self, value):
        if isinstance(value, str):
            value = value.strip().replace(",", ".").removesuffix("mm").strip()
        return super().to_python(value)
