"""What the people of the studio type."""

from __future__ import annotations

from django import forms

from studio.forms import PlainForm
from studio.people.models import Person, Role


class SignIn(PlainForm):
    """Address and password."""

    email = forms.EmailField(
        label="E-mail address",
        widget=forms.EmailInput(attrs={"autocomplete": "username", "spellcheck": "false"}),
    )
    password = forms.CharField(
        label="Password",
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )


class Code(PlainForm):
    """Six figures of an authenticator, or a recovery code."""

    code = forms.CharField(
        label="Code",
        max_length=40,
        help_text="The six figures your authenticator shows, or one of your recovery codes.",
        widget=forms.TextInput(
            attrs={"autocomplete": "one-time-code", "class": "code", "spellcheck": "false"}
        ),
    )


class NewPerson(PlainForm):
    """A person who joins."""

    full_name = forms.CharField(
        label="Full name", max_length=120, widget=forms.TextInput(attrs={"autocomplete": "off"})
    )
    email = forms.EmailField(label="E-mail address", widget=forms.EmailInput(attrs={"autocomplete": "off"}))
    role = forms.ChoiceField(label="Role", choices=Role.choices, widget=forms.RadioSelect)
    password = forms.CharField(
        label="First password",
        strip=False,
        help_text="At least 12 characters; they change it after signing in.",
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )

    def clean_email(self):
        email = self.cleaned_data["email"].lower()
        if Person.objects.filter(email__iexact=email).exists():
            raise forms.ValidationError("Somebody with this address is already here.")
        return email


class NewPassword(PlainForm):
    """A new password of one's own."""

    present = forms.CharField(
        label="Present password",
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )
    password = forms.CharField(
        label="New password",
        strip=False,
        help_text="At least 12 characters.",
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )
