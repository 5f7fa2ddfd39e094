"""Answering a browser with a rendition, after the room that owns the picture has checked who asks."""

from __future__ import annotations

from django.core.files.storage import storages
from django.http import FileResponse, Http404, HttpResponse

from studio.pictures.models import Picture, State
from studio.pictures.sizes import EDGES


def answer(request, picture: Picture, size: int) -> HttpResponse:
    """
    The rendition whose longest edge is *size* px: WebP where the browser takes it, JPEG otherwise.

    The original is never answered. A picture that is not ready yet answers 503 and asks for patience.

    Raises:
        Http404: no such size, or the picture was refused.
    """
    if size not in EDGES or picture.state == State.REFUSED:
        raise Http404
    if picture.state == State.RECEIVED:
        return HttpResponse(status=503, headers={"Retry-After": "1", "Cache-Control": "no-store"})
    ending = "webp" if "image/webp" in request.headers.get("Accept", "") else "jpeg"
    file = storages["default"].open(picture.renditions[str(size)][ending])
    return FileResponse(
        file,
        content_type=f"image/{ending}",
        filename=f"picture-{size}.{'jpg' if ending == 'jpeg' else ending}",
        headers={
            "X-Content-Type-Options": "nosniff",
            "Cache-Control": "private, no-store",
            "Vary": "Accept, Cookie",
        },
    )
