"""Where the client wants the work to wait for their word, chosen and changed."""

from __future__ import annotations

from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from commissions.pages.client.views import own
from commissions.record import holdpoints
from commissions.record.errors import Refused
from commissions.record.forms import ChooseHoldPoints


@own
@require_http_methods(["GET", "POST"])
def hold_points(request, commission):
    """The three points, which of them are chosen, and what was said at each."""
    standings = holdpoints.standings(commission=commission)
    free = holdpoints.changeable(commission=commission, rows=standings)
    wanted = [row.point for row in standings if row.wanted]
    form = ChooseHoldPoints(
        request.POST if request.method == "POST" else None, points=free, initial={"holds": wanted}
    )
    if request.method == "POST" and form.is_valid():
        try:
            holdpoints.choose(
                commission=commission,
                points=[*form.cleaned_data["holds"], *(point for point in wanted if point not in free)],
                by_words=commission.client.full_name,
                access=request.client_access,
            )
        except Refused as refusal:
            form.add_error("holds", str(refusal))
        else:
            return redirect("pages:client-ring", reference=commission.reference)
    page = {
        "commission": commission,
        "standings": standings,
        "form": form,
        "open": bool(free),
    }
    return render(request, "client/hold_points.html", page)
