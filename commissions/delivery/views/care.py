"""The studio's pages of the years after: the check log, worries, kind words."""

from __future__ import annotations

from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from commissions.delivery import actions, forms, queries
from commissions.delivery.models import KindWords
from commissions.delivery.safety import FIRST
from commissions.delivery.views.common import commission_or_404, received
from commissions.record.errors import Refused
from commissions.record.queries import small_jobs
from commissions.record.route import Stage
from studio.people.access import staff
from studio.pictures.serving import answer


@staff("owner", "jeweller")
@require_http_methods(["GET", "POST"])
def log(request, reference: str):
    """Every check of one ring with its photographs, and a new one."""
    commission = commission_or_404(reference)
    rows = list(queries.care_of(commission=commission))
    posted = request.method == "POST"
    form = forms.CheckForm(request.POST if posted else None, request.FILES if posted else None, dates=rows)
    if posted and form.is_valid():
        chosen = next((row for row in rows if str(row.pk) == form.cleaned_data["care"]), None)
        pictures = received(form, kind="care", who=str(request.user))
        if pictures is not None:
            try:
                actions.log_check(
                    commission=commission,
                    care=chosen,
                    findings=form.cleaned_data["findings"],
                    how=form.cleaned_data["how"],
                    pictures=pictures,
                    person=request.user,
                )
            except Refused as refusal:
                form.add_error(None, str(refusal))
            else:
                return redirect("delivery:care", reference=reference)
    page = {
        "commission": commission,
        "rows": rows,
        "worries": queries.worries_of(commission=commission),
        "jobs": list(small_jobs(ring=commission)),
        "in_care": commission.stage == Stage.CARE,
        "form": form,
    }
    return render(request, "delivery/care_log.html", page, status=422 if form.errors else 200)


@staff("owner", "jeweller")
@require_http_methods(["GET", "POST"])
def worry(request, reference: str, pk: int):
    """What worries a client, and our answer in one of three choices."""
    commission = commission_or_404(reference)
    row = queries.worry_of(commission=commission, pk=pk)
    if row is None:
        raise Http404
    form = forms.AdviceForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            actions.advise(worry=row, person=request.user, **form.cleaned_data)
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            return redirect("delivery:worry", reference=reference, pk=pk)
    page = {"commission": commission, "worry": row, "first": FIRST[row.sign], "form": form}
    return render(request, "delivery/worry_answer.html", page, status=422 if form.errors else 200)


@staff("owner", "jeweller")
@require_GET
def photo(request, reference: str, pk: int, size: int):
    """One photograph of a worn ring."""
    row = queries.care_photo(commission=commission_or_404(reference), pk=pk)
    if row is None:
        raise Http404
    return answer(request, row.picture, size)


@staff("owner")
@require_http_methods(["GET", "POST"])
def kind_words(request):
    """What clients have said, what they allow, and what we show."""
    if request.method == "POST":
        row = get_object_or_404(
            KindWords.objects.select_related("commission"), pk=request.POST.get("row") or 0
        )
        actions.show_kind_words(row=row, shown=request.POST.get("shown") == "yes", person=request.user)
        return redirect("delivery:kind-words")
    return render(request, "delivery/kind_studio.html", {"rows": queries.all_kind_words()})
