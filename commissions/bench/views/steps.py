"""Steps of a job and the templates they come from; time and problems put right."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from commissions.bench import actions, queries
from commissions.bench.forms import AnswerForm, BeginForm, LeaveOutForm, TemplateForm, TimeForm
from commissions.bench.forms.studio import written
from commissions.bench.models import Problem, Step, StepTemplate, TimeEntry
from commissions.bench.views.common import commission_or_404, job_or_404
from commissions.record.errors import Refused
from studio.people.access import staff


@require_http_methods(["GET", "POST"])
@staff("owner", "jeweller")
def begin(request, reference):
    """Choose the steps of an agreed ring and begin."""
    commission = commission_or_404(reference)
    form = BeginForm(request.POST or None, owner=request.user.is_owner)
    missing = []
    if request.method == "POST" and form.is_valid():
        try:
            actions.begin(
                commission=commission,
                template=form.cleaned_data["template"],
                person=request.user,
                override_reason=form.cleaned_data.get("override_reason", ""),
            )
            return redirect("bench:steps", reference)
        except Refused as refused:
            missing = refused.missing
    page = {"commission": commission, "form": form, "missing": missing, "templates": queries.templates()}
    return render(request, "bench/begin.html", page, status=409 if missing else 200)


@require_GET
@staff()
def steps(request, reference):
    """The whole way of one job: done, now, next."""
    commission = job_or_404(request, reference)
    rows = list(queries.steps(commission=commission))
    current = next((row for row in rows if not row.is_over), None)
    mine = None if request.user.is_owner else request.user
    times = list(queries.time_entries(commission=commission, person=mine))
    page = {"commission": commission, "rows": rows, "current": current, "times": times}
    return render(request, "bench/steps.html", page)


@require_http_methods(["GET", "POST"])
@staff("owner", "jeweller")
def leave_out(request, reference, pk):
    """Leave out a step, with a reason."""
    commission = job_or_404(request, reference)
    step = get_object_or_404(Step, pk=pk, commission=commission)
    form = LeaveOutForm(request.POST or None)
    missing = []
    if request.method == "POST" and form.is_valid():
        try:
            actions.leave_out_step(
                commission=commission, step=step, reason=form.cleaned_data["reason"], person=request.user
            )
            return redirect("bench:steps", reference)
        except Refused as refused:
            missing = refused.missing
    page = {"commission": commission, "step": step, "form": form, "missing": missing, "act": "Leave it out"}
    return render(request, "bench/ask.html", page, status=409 if missing else 200)


@require_http_methods(["GET", "POST"])
@staff()
def solve(request, reference, pk):
    """Read a problem, and say how it was solved."""
    commission = job_or_404(request, reference)
    problem = get_object_or_404(
        Problem.objects.select_related("person", "photo__picture"), pk=pk, commission=commission
    )
    form = AnswerForm(request.POST or None)
    missing = []
    if request.method == "POST" and form.is_valid():
        try:
            actions.answer_problem(problem=problem, answer=form.cleaned_data["answer"], person=request.user)
            return redirect("bench:job", reference)
        except Refused as refused:
            missing = refused.missing
    page = {
        "commission": commission,
        "problem": problem,
        "form": form,
        "missing": missing,
        "act": "It is solved",
    }
    return render(request, "bench/ask.html", page, status=409 if missing else 200)


@require_http_methods(["GET", "POST"])
@staff()
def time(request, reference, pk):
    """Put a spell of one's own right; the owner may do it for anybody."""
    commission = job_or_404(request, reference)
    entry = get_object_or_404(TimeEntry, pk=pk, commission=commission)
    if entry.person_id != request.user.pk and not request.user.is_owner:
        raise Http404
    form = TimeForm(
        request.POST or None, initial={"started_at": entry.started_at, "ended_at": entry.ended_at}
    )
    missing = []
    if request.method == "POST" and form.is_valid():
        try:
            actions.edit_time(entry=entry, person=request.user, **form.cleaned_data)
            return redirect("bench:steps", reference)
        except Refused as refused:
            missing = refused.missing
    page = {"commission": commission, "entry": entry, "form": form, "missing": missing, "act": "Put it right"}
    return render(request, "bench/ask.html", page, status=409 if missing else 200)


@require_GET
@staff("owner")
def templates(request):
    """The templates of steps."""
    return render(request, "bench/templates.html", {"rows": queries.templates(active=False)})


@require_http_methods(["GET", "POST"])
@staff("owner")
def template(request, pk=None):
    """One template, a step a line."""
    row = get_object_or_404(StepTemplate, pk=pk) if pk else None
    initial = {"is_active": True}
    if row:
        lines = "\n".join(written(line) for line in row.lines.all())
        initial = {"name": row.name, "words": row.words, "is_active": row.is_active, "lines": lines}
    form = TemplateForm(request.POST or None, initial=initial)
    missing = []
    if request.method == "POST" and form.is_valid():
        try:
            actions.edit_template(template=row, person=request.user, **form.cleaned_data)
            messages.success(request, "Kept. Jobs that are on the bench keep the steps they have.")
            return redirect("bench:templates")
        except Refused as refused:
            missing = refused.missing
    return render(
        request,
        "bench/template.html",
        {"row": row, "form": form, "missing": missing},
        status=409 if missing else 200,
    )
