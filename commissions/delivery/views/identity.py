"""The same stone, before and after; and what the papers say of treatments."""

from __future__ import annotations

from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from commissions.delivery import actions, forms
from commissions.delivery.views.common import commission_or_404
from commissions.delivery.views.studio import page
from commissions.record.errors import Refused
from studio.people.access import staff


def _back(reference: str):
    return redirect(f"{reverse('delivery:delivery', args=[reference])}#stone")


@staff("owner", "jeweller")
@require_POST
def read_again(request, reference: str):
    """Keep what was read after setting."""
    commission = commission_or_404(reference)
    form = forms.ReadAgain(request.POST)
    if not form.is_valid():
        return page(request, commission, read_form=form)
    try:
        actions.read_again(commission=commission, person=request.user, **form.facts())
    except Refused as refusal:
        return page(request, commission, read_form=form, missing=refusal.missing)
    return _back(reference)


@staff("owner", "jeweller")
@require_POST
def disclose(request, reference: str):
    """Keep what is known of treatments."""
    commission = commission_or_404(reference)
    form = forms.Disclose(request.POST)
    if not form.is_valid():
        return page(request, commission, disclose_form=form)
    try:
        actions.disclose(commission=commission, person=request.user, **form.cleaned_data)
    except Refused as refusal:
        return page(request, commission, disclose_form=form, missing=refusal.missing)
    return _back(reference)
