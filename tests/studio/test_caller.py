"""Who is calling: one flood behind a proxy must not slow everybody down, and nobody can invent an address."""

from __future__ import annotations

import pytest
from django.test import RequestFactory

from studio.middleware import CallerBehindProxy


@pytest.mark.parametrize(
    ("proxy", "header", "caller"),
    [
        (True, "203.0.113.7", "203.0.113.7"),
        (True, "198.51.100.1, 203.0.113.7", "203.0.113.7"),
        (True, "2001:db8::7", "2001:db8::7"),
        (True, "nonsense", "127.0.0.1"),
        (True, "", "127.0.0.1"),
        (False, "203.0.113.7", "127.0.0.1"),
    ],
)
def test_only_our_own_proxy_is_believed(settings, proxy, header, caller):
    settings.SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if proxy else None
    seen = []
    middleware = CallerBehindProxy(lambda request: seen.append(request.META["REMOTE_ADDR"]))
    middleware(RequestFactory().get("/", headers={"X-Forwarded-For": header}))
    assert seen == [caller]
