"""A whole brief, as a person would answer it."""

from __future__ import annotations

import io

from PIL import Image

ANSWERS = [
    ("occasion", {"occasion": "engagement", "more": "Under the lighthouse."}),
    ("date", {"when": "day", "on_day": "19", "on_month": "December", "on_year": "2031"}),
    ("surprise", {"surprise": "yes"}),
    ("contact", {"ways": ["email"], "hours": ["evening"], "beware": "We share a mailbox on Sundays."}),
    ("destination", {"country": "NO"}),
    ("budget", {"kind": "range", "currency": "GBP", "low": "6,000", "high": "8 000"}),
    ("stone", {"intent": "undecided"}),
    ("look", {"shapes": ["round"], "words_for_it": "Low and soft."}),
    ("dislikes", {"dislikes": "Nothing spiky.", "breakers": "It must not catch on wool."}),
    ("pictures", {}),
    ("metal", {"likes": ["white"], "more": ""}),
    ("allergy", {"allergy": "unknown", "which": ""}),
    ("hand", {"does": ["yes"], "others": "", "more": ""}),
    ("size", {"route": "jeweller", "size": "52,5", "system": "iso", "sure": "fairly", "finger": "left ring"}),
    ("name", {"full_name": "Runa Fjelltoft", "country": "NO"}),
    ("email", {"email": "Runa@Client.example", "zone": "Europe/Oslo"}),
]
EMAIL = "runa@client.example"


def fill_in(browser, *, leave_out: tuple[str, ...] = (), **changed) -> None:
    """Answer every question in turn, and fail where one is not taken."""
    for slug, data in ANSWERS:
        if slug in leave_out:
            continue
        answer = browser.post(f"/brief/{slug}/", {**data, **changed.get(slug, {})})
        assert answer.status_code == 302, answer.content.decode()


def jpeg(*, size=(1200, 900), colour=(200, 190, 170)) -> io.BytesIO:
    """A picture as a camera makes it."""
    file = io.BytesIO()
    Image.new("RGB", size, colour).save(file, "JPEG")
    file.seek(0)
    file.name = "lighthouse.jpg"
    return file
