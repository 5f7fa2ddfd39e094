"""The studio's page of a job's photos: look closely, then release one by one."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from commissions.bench import actions, queries
from commissions.bench.forms import ReleaseForm
from commissions.bench.views.common import commission_or_404, job_or_404
from commissions.record.errors import Refused
from studio.people.access import staff
from studio.people.models import Role
from studio.pictures.serving import answer


def _photo(commission, pk):
    row = queries.photo_of(commission=commission, pk=pk)
    if row is None:
        raise Http404
    return row


@require_GET
@staff("owner", "jeweller")
def photos(request, reference):
    """Every photo of a commission, with who may see it."""
    commission = commission_or_404(reference)
    rows = list(queries.photos(commission=commission))
    return render(request, "bench/photos.html", {"commission": commission, "rows": rows})


@require_http_methods(["GET", "POST"])
@staff("owner", "jeweller")
def photo(request, reference, pk):
    """One photo at full size, its words, and the release."""
    commission = commission_or_404(reference)
    row = _photo(commission, pk)
    form = ReleaseForm(request.POST or None, initial={"caption": row.caption, "scale": row.scale})
    missing = []
    if request.method == "POST" and form.is_valid():
        fields = form.cleaned_data
        try:
            if not row.carried_at:
                actions.describe_photo(photo=row, caption=fields["caption"], scale=fields["scale"])
            row = _photo(commission, pk)
            if "release" in request.POST:
                actions.release_photo(
                    photo=row, background_checked=fields["background_checked"], person=request.user
                )
                messages.success(
                    request, "Released: the client sees this photo, and a letter is being drafted."
                )
            return redirect("bench:photos", reference)
        except Refused as refused:
            missing = refused.missing
    page = {"commission": commission, "row": row, "form": form, "missing": missing}
    return render(request, "bench/photo.html", page, status=409 if missing else 200)


@require_POST
@staff("owner", "jeweller")
def withdraw(request, reference, pk):
    """Take a released photo back."""
    commission = commission_or_404(reference)
    try:
        actions.withdraw_photo(photo=_photo(commission, pk), person=request.user)
    except Refused as refused:
        messages.error(request, str(refused))
    return redirect("bench:photos", reference)


@require_GET
@staff()
def photo_file(request, reference, pk, size):
    """One rendition of a photo; a setter sees those of the jobs in hand."""
    in_hand = request.user.role == Role.SETTER
    commission = job_or_404(request, reference) if in_hand else commission_or_404(reference)
    return answer(request, _photo(commission, pk).picture, size)
