"""Headers that every answer carries, and the reader's language and zone."""

from __future__ import annotations

import ipaddress
import zoneinfo
from contextlib import suppress

from django.conf import settings
from django.utils import timezone, translation

CONTENT_SECURITY_POLICY = "; ".join(
    [
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data: blob:",
        "font-src 'self'",
        "connect-src 'self'",
        "manifest-src 'self'",
        "worker-src 'self'",
        "media-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    ]
)


class CallerBehindProxy:
    """
    Where a request comes from, behind the house's own proxy.

    Without it everybody would come from the proxy's address, and one flood would slow down all. Only the
    last entry of X-Forwarded-For is believed: our proxy wrote it; what stands before it the caller may have
    invented. Without a proxy (RINGWRIGHT_BEHIND_PROXY not set) the header is not looked at.
    """

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        if settings.SECURE_PROXY_SSL_HEADER:
            nearest = request.META.get("HTTP_X_FORWARDED_FOR", "").rpartition(",")[2].strip()
            with suppress(ValueError):  # a proxy that writes no address: its own stands
                request.META["REMOTE_ADDR"] = str(ipaddress.ip_address(nearest))
        return self.get_response(request)


class Headers:
    """Strict content policy everywhere; nothing behind a sign-in is kept by a browser or a proxy."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        response = self.get_response(request)
        response.setdefault("Content-Security-Policy", CONTENT_SECURITY_POLICY)
        response.setdefault("Permissions-Policy", "camera=(self), geolocation=(), microphone=(), payment=()")
        response.setdefault("X-Robots-Tag", "noindex, nofollow")
        if not request.path.startswith(
            settings.STATIC_URL if settings.STATIC_URL.startswith("/") else f"/{settings.STATIC_URL}"
        ):
            response.setdefault("Cache-Control", "no-store")
        return response


class ReaderLocale:
    """
    The studio reads in its own zone; a signed-in client reads in theirs.

    The client's language and zone are kept in the session by the client's sign-in.
    """

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        language = request.session.get("language") or settings.LANGUAGE_CODE
        zone = request.session.get("zone") or settings.TIME_ZONE
        try:
            tz = zoneinfo.ZoneInfo(zone)
        except (zoneinfo.ZoneInfoNotFoundError, ValueError):
            tz = zoneinfo.ZoneInfo(settings.TIME_ZONE)
        with translation.override(language), timezone.override(tz):
            request.LANGUAGE_CODE = translation.get_language()
            return self.get_response(request)
