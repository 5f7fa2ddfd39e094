"""The owner reads what was done, proves the chain, and takes a copy along."""

from __future__ import annotations

import csv
import io
import json

from django.contrib import messages
from django.http import StreamingHttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from studio.people.access import staff
from studio.trail import actions, queries
from studio.trail.forms import Ask
from studio.trail.models import Entry

COLUMNS = ("number", "at", "actor", "verb", "subject", "facts", "previous", "digest")


def _asked(request) -> tuple[Ask, dict]:
    form = Ask(request.GET, verbs=queries.verbs())
    words = form.cleaned_data if form.is_valid() else {}
    return form, {**words, "zone": timezone.get_current_timezone()}


@staff("owner")
@require_GET
def trail(request):
    """What was done, by whom, newest first, and whether the chain holds."""
    form, asked = _asked(request)
    rows = queries.asked_for(**asked) if form.is_valid() else Entry.objects.none()
    rows, older = queries.page_of(rows=rows, before=request.GET.get("before", ""))
    kept = request.GET.copy()
    kept.pop("before", None)
    context = {
        "form": form,
        "rows": rows,
        "older": older,
        "kept": kept.urlencode(),
        "narrowed": any(asked.get(name) for name in ("who", "verb", "subject", "first", "last")),
        "proof": queries.last_proof(),
    }
    return render(request, "trail/trail.html", context)


@staff("owner")
@require_POST
def prove(request):
    """Walk the chain now."""
    proof = actions.prove()
    if proof.broken_at is None:
        messages.success(request, f"The chain holds: {proof.entries} entries.")
    else:
        messages.error(request, f"The chain does not hold at entry {proof.broken_at}.")
    return redirect("trail:trail")


@staff("owner")
@require_GET
def export(request, ending: str):
    """The entries asked for, as CSV or as one JSON object a line, with every link of the chain."""
    form, asked = _asked(request)
    rows = queries.as_kept(queries.asked_for(**asked) if form.is_valid() else Entry.objects.none())
    lines, kind = (_csv(rows), "text/csv") if ending == "csv" else (_json(rows), "application/jsonl")
    answer = StreamingHttpResponse(lines, content_type=f"{kind}; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="trail.{ending}"'
    return answer


def _json(rows):
    for row in rows:
        yield json.dumps(row, ensure_ascii=False) + "\n"


def _csv(rows):
    def line(values) -> str:
        file = io.StringIO()
        csv.writer(file, lineterminator="\r\n").writerow(values)
        return file.getvalue()

    yield line(COLUMNS)
    for row in rows:
        row["facts"] = json.dumps(row["facts"], ensure_ascii=False)
        yield line([_calm(str(row[name])) for name in COLUMNS])


def _calm(text: str) -> str:
    """Text that a spreadsheet will not take for a formula."""
    return f"'{text}" if text[:1] in ("=", "+", "-", "@", "\t", "\r") else text
