"""The phone at the bench: one job, one big next act, every other act two taps away at most."""

from __future__ import annotations

from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET

from commissions.bench import cautions, drawing, outlines, queries
from commissions.bench.actions.undoing import can_undo
from commissions.bench.defaults import FINAL_SHOTS
from commissions.bench.forms import ACT_FORMS
from commissions.bench.models import ActKind, StepState, WeighingKind
from commissions.bench.views import counting
from commissions.bench.views.common import job_or_404
from commissions.design.queries import model_note
from commissions.money.queries import approved_changes
from commissions.record.models import Commission
from commissions.record.route import Stage
from commissions.sourcing.queries import orientation
from studio.people.access import staff

LIKELY_WEIGHT = {
    "model": WeighingKind.MODEL,
    "casting": WeighingKind.CASTING,
    "mounting": WeighingKind.MOUNT,
    "setting": WeighingKind.MOUNT,
    "finishing": WeighingKind.RING,
    "marking": WeighingKind.RING,
    "checking": WeighingKind.RING,
}


@require_GET
@staff()
def jobs(request):
    """Jobs on the bench for this person, the most urgent first."""
    rows = queries.jobs_for(person=request.user)
    if request.GET.get("only") and len(rows) == 1:
        return redirect("bench:job", rows[0][0].reference)
    return render(
        request, "bench/jobs.html", {"rows": rows, "running": queries.running_clock(person=request.user)}
    )


@require_GET
@staff()
def job(request, reference):
    """One job with its next act."""
    commission = job_or_404(request, reference)
    return render(request, "bench/job.html", job_page(request, commission))


def job_page(request, commission: Commission, **more) -> dict:
    """What the page of one job shows."""
    steps = list(queries.steps(commission=commission))
    current = next((step for step in steps if not step.is_over), None)
    of_stage = [step for step in steps if step.stage == commission.stage]
    running = queries.running_clock(person=request.user)
    photos = list(queries.photos(commission=commission))
    outside = queries.jobs_of_step(step=current) if current and current.supplier_task else []
    held = queries.held_at(commission=commission, step=current) if current else None
    did = queries.act_by_key(key=request.GET.get("did", ""), person=request.user, commission=commission)
    return {
        "commission": commission,
        "step": current,
        "out": next((row for row in outside if row.returned_at is None), None),
        "was_sent": bool(outside),
        "place": of_stage.index(current) + 1 if current in of_stage else None,
        "places": len(of_stage),
        "drawing": drawing.for_phone(commission=commission),
        "closing": drawing.closing_drawing(commission=commission) if commission.stage == "setting" else "",
        "lie": orientation(commission=commission) if commission.stage == Stage.SETTING else None,
        "cautions": cautions.for_step(current.cautions) if current else [],
        "model_note": model_note(commission=commission) if current and current.stage == "casting" else "",
        "hold": queries.hold_on(commission=commission),
        "wish": queries.wishes_to_cancel(commission=commission),
        "held": held,
        "problems": list(queries.open_problems(commission=commission)),
        "changes": approved_changes(commission=commission),
        "running": running if running and running.commission_id == commission.pk else None,
        "elsewhere": running if running and running.commission_id != commission.pk else None,
        "photos_of_step": sum(1 for row in photos if current and row.step_id == current.pk),
        "weight": queries.latest_weight(commission=commission, kind=LIKELY_WEIGHT[commission.stage]),
        "main": "held" if held else main_act(step=current, steps=steps, photos=photos, outside=outside),
        "did": did,
        "may_undo": bool(did and can_undo(act=did)),
        "forms": {
            kind.name: ACT_FORMS[kind](initial={"step": current.pk if current else None}) for kind in PRESSED
        },
        **more,
    }


PRESSED = (ActKind.START, ActKind.DONE, ActKind.TIME_ON, ActKind.TIME_OFF)
"""Acts that need nothing typed: their button is the whole form."""


def main_act(*, step, steps, photos, outside) -> str:
    """
    The one big next act: start the step, then photograph it, then call it done; at the end the check sheet.

    A step outside the house is sent, taken back, and then called done.
    """
    if step is None:
        return ""
    if step.supplier_task:
        if not outside:
            return "send"
        return "back" if any(row.returned_at is None for row in outside) else "done"
    if step.state == StepState.WAITING:
        return "start"
    if step == steps[-1]:
        return "check" if not final_shots_left(photos) else "photo"
    if not any(row.step_id == step.pk for row in photos):
        return "photo"
    return "done"


def final_shots_left(photos) -> list[tuple[str, str]]:
    """Shots of the fixed final set that are still to be taken, in their order."""
    taken = {row.shot for row in photos}
    return [(key, words) for key, words in FINAL_SHOTS if key not in taken]


def _act_page(request, reference, kind, template, initial=None, **more):
    commission = job_or_404(request, reference)
    form = ACT_FORMS[kind](initial=initial or {})
    return render(request, template, {**page_of(commission, kind, form), **more})


def page_of(commission: Commission, kind: str, form) -> dict:
    """What the page of one act shows, first or after a refusal."""
    page = {
        "commission": commission,
        "step": queries.current_step(commission=commission),
        "form": form,
        "kind": kind,
    }
    if kind == ActKind.PHOTO:
        shot = str(form["shot"].value() or "")
        page |= {
            "shots": final_shots_left(list(queries.photos(commission=commission))),
            "wished": dict(FINAL_SHOTS).get(shot, ""),
            "outline": outlines.outline_of(shot),
            "view": outlines.view_of(shot),
            "guide": outlines.words_of(shot),
        }
    if kind == ActKind.WEIGH:
        page["before"] = list(queries.weighings(commission=commission).order_by("-at", "-id")[:6])
    if kind == ActKind.COUNT:
        page |= counting.count_page(commission, form)
    return page


PAGES = {
    ActKind.PHOTO: "bench/photograph.html",
    ActKind.WEIGH: "bench/weigh.html",
    ActKind.PROBLEM: "bench/problem.html",
    ActKind.COUNT: "bench/count.html",
}


@require_GET
@staff()
def photograph(request, reference):
    """Take or choose a photo; in Checking the next shot of the final set is asked for."""
    commission = job_or_404(request, reference)
    left = (
        final_shots_left(list(queries.photos(commission=commission)))
        if commission.stage == "checking"
        else []
    )
    wished = request.GET.get("shot") or (left[0][0] if left else "")
    form = ACT_FORMS[ActKind.PHOTO](initial={"shot": wished})
    did = queries.act_by_key(key=request.GET.get("did", ""), person=request.user, commission=commission)
    page = page_of(commission, ActKind.PHOTO, form) | {
        "did": did,
        "may_undo": bool(did and can_undo(act=did)),
    }
    return render(request, PAGES[ActKind.PHOTO], page)


@require_GET
@staff()
def weigh(request, reference):
    """Weigh with the keypad."""
    commission = job_or_404(request, reference)
    what = request.GET.get("kind") or LIKELY_WEIGHT[commission.stage]
    scale = request.session.get("scale", "")
    form = ACT_FORMS[ActKind.WEIGH](initial={"what": what, "scale": scale})
    return render(request, PAGES[ActKind.WEIGH], page_of(commission, ActKind.WEIGH, form))


@require_GET
@staff()
def problem(request, reference):
    """Say what is wrong."""
    return _act_page(request, reference, ActKind.PROBLEM, PAGES[ActKind.PROBLEM])


@require_GET
@staff()
def count(request, reference):
    """Count the stones."""
    initial = counting.before(job_or_404(request, reference))
    return _act_page(request, reference, ActKind.COUNT, PAGES[ActKind.COUNT], initial)
