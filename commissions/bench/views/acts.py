"""Where every act arrives, from a plain form or from the phone's queue."""

from __future__ import annotations

from django.http import Http404, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from commissions.bench import actions, queries
from commissions.bench.actions.undoing import UNDO_SECONDS, can_undo
from commissions.bench.forms import ACT_FORMS
from commissions.bench.models import ActKind
from commissions.bench.views.common import job_or_404
from commissions.bench.views.phone import PAGES, job_page, page_of
from commissions.record.errors import Refused
from commissions.record.route import Stage
from studio.people.access import staff
from studio.pictures.errors import PictureRefused


def _wants_json(request) -> bool:
    return request.headers.get("Accept", "").startswith("application/json")


@require_POST
@staff()
def act(request, reference, kind):
    """Do one act, once; answered as a page or, to the phone's queue, as JSON."""
    if kind not in ACT_FORMS:
        raise Http404
    commission = job_or_404(request, reference)
    form = ACT_FORMS[kind](request.POST, request.FILES, too_large=getattr(request, "too_large", []))
    if not form.is_valid():
        return _refused(request, commission, kind, form, status=422)
    try:
        done = actions.perform(
            key=form.cleaned_data["act_id"],
            kind=kind,
            commission=commission,
            person=request.user,
            details=form.details(),
            upload=form.upload(),
            claimed_at=form.cleaned_data["made_at"],
        )
    except PictureRefused as refused:
        form.add_error(None, refused.words)
        return _refused(request, commission, kind, form, status=422)
    except Refused as refused:
        return _refused(request, commission, kind, form, status=409, missing=refused.missing)
    if kind == ActKind.WEIGH and form.cleaned_data["scale"]:
        request.session["scale"] = form.cleaned_data["scale"]
    again = kind == ActKind.PHOTO and form.cleaned_data["shot"] and commission.stage == Stage.CHECKING
    way = reverse("bench:photograph" if again and _more_shots(commission) else "bench:job", args=[reference])
    if _wants_json(request):
        undo_for = UNDO_SECONDS if can_undo(act=done) else 0
        return JsonResponse({"said": done.said, "undo_seconds": undo_for, "act": str(done.key), "next": way})
    return redirect(f"{way}?did={done.key}")


def _more_shots(commission) -> bool:
    return bool(queries.final_shots_missing(commission=commission))


def _refused(request, commission, kind, form, *, status, missing=()):
    if _wants_json(request):
        rows = [{"words": row.words, "path": row.path} for row in missing]
        for name, errors in form.errors.items():
            label = form.fields[name].label if name in form.fields else ""
            rows += [{"words": f"{label}: {error}" if label else str(error), "path": ""} for error in errors]
        return JsonResponse({"missing": rows}, status=status)
    if kind in PAGES:
        for row in missing:
            form.add_error("sure" if kind == ActKind.WEIGH else None, row.words)
        return render(request, PAGES[kind], page_of(commission, kind, form), status=status)
    commission.refresh_from_db(fields=["stage", "state"])
    return render(request, "bench/job.html", job_page(request, commission, missing=missing), status=status)


@require_POST
@staff()
def undo(request, reference):
    """Take back what was just done."""
    commission = job_or_404(request, reference)
    row = queries.act_by_key(key=request.POST.get("act", ""), person=request.user, commission=commission)
    if row is None:
        raise Http404
    try:
        said = actions.undo(act=row, person=request.user)
    except Refused as refused:
        if _wants_json(request):
            return JsonResponse(
                {"missing": [{"words": gap.words, "path": gap.path} for gap in refused.missing]}, status=409
            )
        return render(
            request, "bench/job.html", job_page(request, commission, missing=refused.missing), status=409
        )
    if _wants_json(request):
        return JsonResponse({"said": said})
    return render(request, "bench/job.html", job_page(request, commission, said=said))
