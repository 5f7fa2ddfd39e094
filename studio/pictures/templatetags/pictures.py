"""Template word for a picture: ``{% picture photo.picture "bench:photo-file" reference photo.pk alt="Halo" %}``."""

from __future__ import annotations

from django import template
from django.urls import reverse

from studio.pictures.sizes import EDGES

register = template.Library()


@register.inclusion_tag("parts/picture.html")
def picture(row, way, *args, alt="", sizes="(max-width: 44rem) 100vw, 22rem", show=1000, eager=False):
    """
    One picture with its sizes.

    *way* names the address of the room that serves it; its last argument is the size in px, which is added here.
    """
    ready = row.is_ready
    shown = row.renditions.get(str(show), {}) if ready else {}
    return {
        "ready": ready,
        "refusal": row.refusal,
        "alt": alt,
        "sizes": sizes,
        "eager": eager,
        "width": shown.get("width"),
        "height": shown.get("height"),
        "src": reverse(way, args=[*args, show]) if ready else "",
        "srcset": ", ".join(
            f"{reverse(way, args=[*args, edge])} {row.renditions[str(edge)]['width']}w"
            for edge in reversed(EDGES)
        )
        if ready
        else "",
    }
