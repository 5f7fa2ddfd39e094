import pytest
from django.urls import reverse


@pytest.fixture
def inside(client, jeweller, settings):
    """A browser in which a jeweller is signed in."""
    settings.SECOND_FACTOR_REQUIRED = False
    client.force_login(jeweller)
    return client


@pytest.fixture
def look(inside):
    """Open a page of the figures by its name; *typing* asks as the page does while somebody types."""

    def get(name, values=None, *, typing=False):
        headers = {"HX-Request": "true"} if typing else {}
        address = (
            name
            if name.startswith("/")
            else reverse("figures:halo")
            if name == "halo"
            else reverse("figures:calculator", args=[name])
        )
        return inside.get(address, values, headers=headers)

    return get
