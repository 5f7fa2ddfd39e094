"""What a client writes on their pages."""

from __future__ import annotations

import re

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from studio.fields import Words
from studio.forms import PlainForm

_DIGITS = re.compile(r"(?<!\d)(?:\d[ -]?){13,19}(?!\d)")
_IBAN = re.compile(r"\b[A-Z]{2}\d{2}(?: ?[A-Z0-9]{4}){3,7}(?: ?[A-Z0-9]{1,3})?\b", re.IGNORECASE)


def looks_like_card(text: str) -> bool:
    """Whether *text* holds a number that passes the check sum of payment cards (ISO/IEC 7812-1, Luhn)."""
    for found in _DIGITS.finditer(text):
        digits = [int(sign) for sign in found.group() if sign.isdigit()]
        total = sum(
            digit if place % 2 == 0 else sum(divmod(2 * digit, 10))
            for place, digit in enumerate(reversed(digits))
        )
        if total % 10 == 0:
            return True
    return False


def looks_like_account(text: str) -> bool:
    """Whether *text* holds an international account number (ISO 13616: remainder 1 modulo 97)."""
    for found in _IBAN.finditer(text):
        plain = re.sub(r"\s", "", found.group()).upper()
        for end in range(len(plain), 14, -1):  # a word may stand right behind it
            moved = plain[4:end] + plain[:4]
            if int("".join(str(int(sign, 36)) for sign in moved)) % 97 == 1:
                return True
    return False


class NewMessage(PlainForm):
    """A message; numbers of cards and accounts are asked about once."""

    body = Words(
        label=_("Your message"),
        max_length=5000,
        widget=forms.Textarea(attrs={"rows": 5}),
        error_messages={"required": _("Write a message.")},
    )
    anyway = forms.BooleanField(required=False, widget=forms.HiddenInput)

    def clean(self):
        data = super().clean()
        body = data.get("body", "")
        if not data.get("anyway") and (looks_like_card(body) or looks_like_account(body)):
            self.add_error(
                "body",
                _now("This looks like the number of a card or an account. We never need one in a message."),
            )
            self.suspect = True
        return data


class Reply(PlainForm):
    """Approve, ask, or not yet."""

    act = forms.ChoiceField(
        choices=[("approve", ""), ("ask", ""), ("not-yet", "")],
        error_messages={
            "required": _("Press one of the three."),
            "invalid_choice": _("Press one of the three."),
        },
    )
    words = Words(
        label=_("Your words"),
        required=False,
        max_length=3000,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=_("Needed where you ask or say not yet."),
    )

    def clean(self):
        data = super().clean()
        if data.get("act") in ("ask", "not-yet") and not data.get("words") and "words" not in self.errors:
            self.add_error("words", _now("Write a few words, so that we know what to change or answer."))
        return data
