"""Hold points as the studio sees them: who chose which, what was said, a word that came by telephone."""

from __future__ import annotations

from django.contrib import messages
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from commissions.bench.views.common import commission_or_404
from commissions.record import approving, holdpoints
from commissions.record.errors import Refused
from commissions.record.forms import ChooseHoldPoints, WordGiven
from studio import clock
from studio.people.access import staff


@staff("owner", "jeweller")
@require_http_methods(["GET", "POST"])
def hold_points(request, reference: str):
    """The three points and how each stands; writing down a choice or a word, and asking anew."""
    commission = commission_or_404(reference)
    standings = holdpoints.standings(commission=commission)
    waiting = next((row for row in standings if row.question), None)
    stuck = next(
        (row for row in standings if row.wanted and row.word and not row.go and not row.question), None
    )
    name = commission.client.full_name
    free = holdpoints.changeable(commission=commission, rows=standings)
    wanted = [row.point for row in standings if row.wanted]
    chosen = ChooseHoldPoints(
        request.POST if "choose" in request.POST else None, points=free, initial={"holds": wanted}
    )
    chosen.fixed = [point for point in wanted if point not in free]
    word = WordGiven(
        request.POST if "word" in request.POST else None,
        initial={"said_by": name, "said_on": clock.today(), "answer": ""},
    )
    if request.method == "POST" and _act(request, commission, waiting, stuck, chosen, word):
        return redirect("pages:hold-points", reference=reference)
    form = word if word.is_bound else chosen
    page = {
        "commission": commission,
        "standings": standings,
        "waiting": waiting,
        "stuck": stuck,
        "chosen": chosen,
        "free": free,
        "word": word,
        "form": form,
    }
    return render(request, "pages/hold_points.html", page)


def _act(request, commission, waiting, stuck, chosen, word) -> bool:
    """Do what was pressed; False where it was refused and the page is shown again."""
    form = word if word.is_bound else chosen
    try:
        if "again" in request.POST and stuck is not None:
            holdpoints.ask_at(commission=commission, point=stuck.point)
            messages.success(request, "The client is asked again; a letter waits to be looked at.")
            return True
        if word.is_bound and waiting is not None and word.is_valid():
            approving.write_down(
                commission=commission, question=waiting.question, person=request.user, **word.cleaned_data
            )
            messages.success(request, "Written down.")
            return True
        if chosen.is_bound and chosen.is_valid():
            holdpoints.choose(
                commission=commission,
                points=[*chosen.cleaned_data["holds"], *chosen.fixed],
                by_words=f"{commission.client.full_name}, told to {request.user}",
                person=request.user,
            )
            messages.success(request, "Kept.")
            return True
    except Refused as refusal:
        form.add_error(None, str(refusal))
    return False
