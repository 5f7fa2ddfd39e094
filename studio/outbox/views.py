"""The outbox as the owner reads it."""

from __future__ import annotations

from django.conf import settings
from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from studio.middleware import CONTENT_SECURITY_POLICY
from studio.outbox import actions, forms, queries, writing
from studio.outbox.reading import as_page
from studio.people.access import staff

# A letter is shown as its reader gets it, but it can do nothing here: no script, no style of its own, no
# address but the pictures it carries; and it is framed by our own page alone.
LETTER_POLICY = (
    "default-src 'none'; img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'self'; "
    "sandbox allow-top-navigation-by-user-activation"
)


def _letter(pk: int):
    letter = queries.by_pk(pk=pk)
    if letter is None:
        raise Http404
    return letter


@require_GET
@staff("owner")
def letters(request):
    """All letters, newest first."""
    form = forms.Which(request.GET)
    chosen = form.cleaned_data if form.is_valid() else {"state": "", "before": None}
    rows, more = queries.page(state=chosen["state"], before=chosen["before"])
    return render(
        request,
        "outbox/letters.html",
        {
            "form": form,
            "letters": rows,
            "more": more,
            "state": chosen["state"],
            "choices": forms.CHOICES,
            "failed": queries.failed_count(),
            "local": settings.EMAIL_BACKEND.endswith("FolderBackend"),
        },
    )


@require_GET
@staff("owner")
def letter(request, pk: int):
    """One letter with what became of it."""
    found = _letter(pk)
    response = render(
        request,
        "outbox/letter.html",
        {"letter": found, "unreachable": queries.unreachable(email=found.to), "form": forms.CameBack()},
    )
    response["Content-Security-Policy"] = CONTENT_SECURITY_POLICY + "; frame-src 'self'"
    return response


@require_GET
@staff("owner")
def letter_html(request, pk: int):
    """The HTML part alone, as a document that can do nothing."""
    found = _letter(pk)
    if not found.html:
        raise Http404
    response = HttpResponse(as_page(letter=found))
    response["Content-Security-Policy"] = LETTER_POLICY
    response["X-Frame-Options"] = "SAMEORIGIN"
    return response


@require_POST
@staff("owner")
def send_again(request, pk: int):
    """Try a failed letter again."""
    found = _letter(pk)
    if actions.send_again(letter=found, person=request.user):
        messages.success(request, "The letter is on its way again.")
    else:
        messages.error(request, "It cannot go like this: look at the reason it is held back for.")
    return redirect("outbox:letter", pk=pk)


@require_POST
@staff("owner")
def test_letter(request):
    """Write a letter to oneself, to see that the mail server takes it and where it arrives."""
    written = writing.write_test(person=request.user)
    messages.success(request, f"A letter to {written.to} is on its way. Look at its head where it arrives.")
    return redirect("outbox:letter", pk=written.pk)


@require_http_methods(["GET", "POST"])
@staff("owner")
def came_back(request, pk: int):
    """Record that a sent letter came back."""
    found = _letter(pk)
    form = forms.CameBack(request.POST or None)
    if request.method == "POST" and form.is_valid():
        if actions.came_back(letter=found, reason=form.cleaned_data["reason"], person=request.user):
            messages.success(request, "Noted: this letter came back.")
        else:
            messages.error(request, "Only a letter that was sent can come back.")
        return redirect("outbox:letter", pk=pk)
    return render(request, "outbox/came_back.html", {"letter": found, "form": form})
