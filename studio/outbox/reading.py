"""A letter's HTML part made readable in the browser: its pictures come with it, as in the message."""

from __future__ import annotations

import base64

from django.core.files.storage import default_storage

from studio.outbox.models import Letter


def as_page(*, letter: Letter) -> str:
    """The HTML part with each inline picture in place; one that is gone leaves its words."""
    html = letter.html
    for picture in letter.pictures:
        try:
            with default_storage.open(picture["file"]) as file:
                data = base64.b64encode(file.read()).decode("ascii")
        except OSError:
            continue
        html = html.replace(f"cid:{picture['cid']}", f"data:image/jpeg;base64,{data}")
    # Its link opens in place of our page, and only when somebody presses it.
    return html.replace("<a href=", '<a target="_top" href=')
