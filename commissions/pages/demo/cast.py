"""Who lives in the demo: the three of the workshop and ten clients, all invented."""

from __future__ import annotations

import secrets

from commissions.pages.demo.setting_out import Cast, on
from studio.people.actions.staff import add_person
from studio.people.models import Role

STAFF = [
    ("ottoline@lanternfold.example", "Ottoline Brackwater", Role.OWNER),
    ("mabli@lanternfold.example", "Mabli Sandrake", Role.JEWELLER),
    ("ivo@lanternfold.example", "Ivo Thornquill", Role.SETTER),
]


def hire() -> tuple[Cast, dict[str, str]]:
    """The three people with fresh random passwords, and those passwords by address."""
    passwords = {email: "-".join(secrets.token_hex(2) for _ in range(4)) for email, _name, _role in STAFF}
    with on("2026-01-05", "09:00"):
        people = [
            add_person(email=email, full_name=name, role=role, password=passwords[email], by="the demo")
            for email, name, role in STAFF
        ]
    return Cast(owner=people[0], jeweller=people[1], setter=people[2]), passwords


def answers(
    *,
    name: str,
    country: str,
    occasion: str = "engagement",
    when: str | None = None,
    surprise: bool = False,
    budget: tuple[str, str, str] | None = None,
    stone: str = "natural",
    stone_words: str = "",
    shapes: tuple[str, ...] = ("round",),
    look: str = "",
    dislikes: str = "",
    breakers: str = "",
    metals: tuple[str, ...] = ("white",),
    allergy: str = "no",
    does: tuple[str, ...] = (),
    size: tuple[str, str, str, str] = ("jeweller", "54", "iso", "sure"),
    others: str = "",
    more: str = "",
) -> dict[str, dict]:
    """The answers of one brief, as a browser would post them; *when* is ``19 12 2026``."""
    day, month, year = when.split() if when else ("", "", "")
    route, typed, system, sure = size
    return {
        "occasion": {"occasion": occasion, "more": more},
        "date": {"when": "day" if when else "open", "on_day": day, "on_month": month, "on_year": year},
        "surprise": {"surprise": "yes" if surprise else "no"},
        "contact": {
            "ways": ["email"],
            "hours": ["evening"],
            "beware": "Only this address, please." if surprise else "",
        },
        "destination": {"country": country},
        "budget": (
            {"kind": "range", "currency": budget[0], "low": budget[1], "high": budget[2]}
            if budget
            else {"kind": "later"}
        ),
        "stone": {"intent": stone, "more": stone_words},
        "look": {"shapes": list(shapes), "words_for_it": look},
        "dislikes": {
            "dislikes": dislikes,
            "breakers": breakers,
            **({} if dislikes or breakers else {"nothing": "on"}),
        },
        "pictures": {},
        "metal": {"likes": list(metals)},
        "allergy": {"allergy": allergy},
        "hand": {"does": list(does), "others": others},
        "size": {"route": route, "size": typed, "system": system, "sure": sure},
        "name": {"full_name": name, "country": country},
    }
