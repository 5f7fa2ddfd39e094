"""The bench's service worker, answered from the bench's own address so that it rules no other page."""

from __future__ import annotations

from django.contrib.staticfiles import finders
from django.contrib.staticfiles.storage import staticfiles_storage
from django.http import FileResponse, Http404
from django.views.decorators.http import require_GET

NAME = "bench/worker.js"


@require_GET
def worker(request):
    """The worker's script; it holds nothing of anybody's and needs no sign-in."""
    path = finders.find(NAME)
    try:
        file = open(path, "rb") if path else staticfiles_storage.open(NAME)  # noqa: SIM115, PTH123 - closed by the answer
    except OSError:
        raise Http404 from None
    return FileResponse(file, content_type="text/javascript", headers={"Cache-Control": "no-cache"})
