"""What every page knows: the house's name, its day, and the studio's ways in."""

from django.conf import settings
from django.urls import NoReverseMatch, reverse
from django.utils.functional import SimpleLazyObject

from studio import clock

NAVIGATION = [
    ("Today", "pages:today", ("owner", "jeweller", "setter")),
    ("Commissions", "pages:commissions", ("owner", "jeweller", "setter")),
    ("Stones", "sourcing:stones", ("owner", "jeweller")),
    ("Metal", "bench:metal", ("owner", "jeweller")),
    ("Money", "money:glance", ("owner",)),
    ("Dispatch", "delivery:dispatch", ("owner", "jeweller")),
    ("People", "people:people", ("owner",)),
    ("Studio", "pages:studio", ("owner", "jeweller", "setter")),
]


def _ways(request):
    person = getattr(request, "user", None)
    if person is None or not person.is_authenticated:
        return []
    ways = []
    for words, name, roles in NAVIGATION:
        if person.role not in roles:
            continue
        try:
            address = reverse(name)
        except NoReverseMatch:
            continue
        current = request.path == address or (address != "/studio/" and request.path.startswith(address))
        ways.append({"words": words, "address": address, "current": current})
    return ways


def house(request):
    """Template variables of the house."""
    return {
        "studio_name": settings.STUDIO_NAME,
        "studio_email": settings.LETTER_FROM,
        "demo": settings.DEMO,
        "today": SimpleLazyObject(clock.today),
        "ways": SimpleLazyObject(lambda: _ways(request)),
    }
