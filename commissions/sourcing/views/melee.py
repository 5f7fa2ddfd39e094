"""The drawer: lots of small stones and their movements."""

from __future__ import annotations

from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from commissions.record.errors import Refused
from commissions.sourcing import actions, forms, queries
from commissions.sourcing.models import MeleeLot
from gemcalc.errors import BadInput
from studio.people.access import staff

BOXES = {"diameter_mm": "size", "weight_ct": "weight", "count": "count"}


@staff("owner", "jeweller")
@require_http_methods(["GET", "POST"])
def lots(request):
    """Every lot, what lies in the drawer and what is out; a new parcel comes in."""
    form = forms.LotForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            lot = actions.open_lot(person=request.user, **form.facts())
        except Refused as refusal:
            form.add_error(None, str(refusal))
        except BadInput as error:
            form.add_error(BOXES.get(error.field or ""), error.message)
        else:
            return redirect("sourcing:lot", pk=lot.pk)
    return render(request, "sourcing/lots.html", {"rows": list(queries.lots()), "form": form})


@staff("owner", "jeweller")
@require_http_methods(["GET", "POST"])
def lot(request, pk: int):
    """One lot: its movements, and the next."""
    row = get_object_or_404(MeleeLot, pk=pk)
    form = forms.MoveForm(
        request.POST or None, initial={"kind": "issue", "reference": request.GET.get("job", "")[:12]}
    )
    if request.method == "POST" and form.is_valid():
        try:
            actions.move_lot(lot=row, person=request.user, **form.facts())
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            return redirect("sourcing:lot", pk=pk)
    return render(
        request,
        "sourcing/lot.html",
        {
            "lot": row,
            "form": form,
            "moves": queries.moves_of(lot=row),
            "balance": queries.balance(lot=row),
        },
    )
