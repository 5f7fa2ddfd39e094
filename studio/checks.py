"""Mistakes of the operator, each with a code and the fix."""

from urllib.parse import urlsplit

from django.conf import settings
from django.core.checks import Error, Tags, Warning, register

PDF_LIBRARIES = "apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0"


@register(Tags.security)
def served_settings(app_configs, **kwargs):
    """A served house must not run on the defaults that only suit one's own machine."""
    found = []
    if settings.SERVED:
        if settings.SECRET_KEY == "unset" or len(settings.SECRET_KEY) < 40:  # noqa: S105
            found.append(
                Error(
                    "The served house has no secret of its own.",
                    hint="Set RINGWRIGHT_SECRET_KEY (or _FILE) to at least 40 random characters.",
                    id="studio.E001",
                )
            )
        if settings.DEBUG:
            found.append(Error("Debugging pages are on.", hint="Unset RINGWRIGHT_DEBUG.", id="studio.E002"))
        if settings.DEMO:
            found.append(
                Error(
                    "The demo workshop has open doors.",
                    hint="Unset RINGWRIGHT_DEMO.",
                    id="studio.E003",
                )
            )
        if "*" in settings.ALLOWED_HOSTS:
            found.append(
                Error(
                    "Any host name is accepted.",
                    hint="Name your hosts in RINGWRIGHT_HOSTS.",
                    id="studio.E004",
                )
            )
        if not settings.HTTPS and urlsplit(settings.ORIGIN).hostname not in ("127.0.0.1", "localhost"):
            found.append(
                Error(
                    "Clients would sign in over an open line.",
                    hint="Set RINGWRIGHT_ORIGIN to the https:// address of the house.",
                    id="studio.E005",
                )
            )
        if settings.DATABASES["default"]["ENGINE"].endswith("sqlite3"):
            found.append(
                Error(
                    "Several processes would share one SQLite file.",
                    hint="Set RINGWRIGHT_DATABASE_URL=postgresql://…",
                    id="studio.E006",
                )
            )
        if not settings.SECOND_FACTOR_REQUIRED:
            found.append(
                Error(
                    "Staff could sign in with a password alone.",
                    hint="Unset RINGWRIGHT_SECOND_FACTOR.",
                    id="studio.E007",
                )
            )
    limits = (
        settings.CELERY_TASK_TIME_LIMIT,
        settings.OUTBOX_LEASE_SECONDS,
        settings.CELERY_BROKER_TRANSPORT_OPTIONS.get("visibility_timeout", 10**6),
    )
    if not limits[0] < limits[1] < limits[2]:
        found.append(
            Error(
                "A letter could be sent by two workers at once.",
                hint="Keep task time limit < RINGWRIGHT_OUTBOX_LEASE_SECONDS < RINGWRIGHT_VISIBILITY_TIMEOUT.",
                id="studio.E008",
            )
        )
    return found


@register()
def pdf_libraries(app_configs, **kwargs):
    """PDFs need Pango; say so before a client asks for one."""
    from ctypes.util import find_library

    if find_library("pango-1.0") and find_library("pangoft2-1.0"):
        return []
    return [Warning("PDFs cannot be made on this machine.", hint=PDF_LIBRARIES, id="studio.W001")]
