"""Boxes that the whole house shares: words without hidden signs, and a date in three boxes."""

from __future__ import annotations

import datetime
import unicodedata

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

_ALLOWED_CONTROLS = "\n\t"
_TURNING = "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
"""Signs that turn the direction of reading: with them a text can show something else than it says."""


DATE_FORMATS = ["%Y-%m-%d", "%d %m %Y", "%d %B %Y", "%d %b %Y", "%d/%m/%Y", "%d.%m.%Y"]
"""How staff may write a date in one box, the day before the month."""


class Words(forms.CharField):
    """Free text in Unicode NFC; control signs and signs that turn the direction of reading are refused."""

    def clean(self, value):
        value = (
            unicodedata.normalize("NFC", super().clean(value) or "").replace("\r\n", "\n").replace("\r", "\n")
        )
        if any(
            sign in _TURNING or (unicodedata.category(sign) == "Cc" and sign not in _ALLOWED_CONTROLS)
            for sign in value
        ):
            raise forms.ValidationError(_("This has hidden signs in it. Type it here by hand, please."))
        return value


class DateBoxesWidget(forms.MultiWidget):
    """Three boxes: day, month, year."""

    template_name = "parts/date_boxes.html"
    use_fieldset = True

    def __init__(self, attrs=None):
        super().__init__(
            widgets={
                "day": forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off", "maxlength": 2}),
                "month": forms.TextInput(attrs={"autocomplete": "off", "maxlength": 12}),
                "year": forms.TextInput(
                    attrs={"inputmode": "numeric", "autocomplete": "off", "maxlength": 4}
                ),
            },
            attrs=attrs,
        )

    def decompress(self, value):
        if isinstance(value, str) and value:
            value = datetime.date.fromisoformat(value)
        return [str(value.day), str(value.month), str(value.year)] if value else ["", "", ""]


class DateBoxes(forms.MultiValueField):
    """A known date in three boxes; the month may be written as a word, in the reader's tongue or English."""

    widget = DateBoxesWidget

    def __init__(self, **kwargs):
        kwargs.setdefault("error_messages", {}).setdefault("required", gettext_lazy("Write the date."))
        fields = [forms.CharField(required=False) for _box in range(3)]
        super().__init__(fields=fields, require_all_fields=False, **kwargs)

    def compress(self, data_list):
        day, month, year = [*(data_list or []), "", "", ""][:3]
        if not (day or month or year):
            return None
        missing = [
            words for words, box in ((_("a day"), day), (_("a month"), month), (_("a year"), year)) if not box
        ]
        if missing:
            raise forms.ValidationError(
                _("The date needs %(missing)s.") % {"missing": _(" and ").join(missing)}
            )
        try:
            return datetime.date(_year(year), _month(month), int(day))
        except (ValueError, OverflowError):
            raise forms.ValidationError(
                _("This is no date we know. Write it like 27 3 2027, or 27 March 2027.")
            ) from None


def _year(typed: str) -> int:
    year = int(typed)
    return 2000 + year if year < 100 else year


def _month(typed: str) -> int:
    typed = typed.strip().rstrip(".").casefold()
    if typed.isdigit():
        return int(typed)
    from babel.dates import get_month_names
    from django.utils.translation import get_language

    for locale in ((get_language() or "en").partition("-")[0], "en"):
        for width in ("wide", "abbreviated"):
            for number, name in get_month_names(width, locale=locale).items():
                if name.rstrip(".").casefold() == typed:
                    return number
    if len(typed) >= 3:
        for number, name in get_month_names("wide", locale="en").items():
            if name.casefold().startswith(typed):
                return number
    raise ValueError(typed)
