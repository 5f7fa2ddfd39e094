"""Ways into the house: each room has its own door; the studio's pages lie under /studio/, the client's under /yours/."""

from django.urls import include, path

urlpatterns = [
    path("", include("commissions.intake.urls")),
    path("", include("studio.people.urls")),
    path("studio/", include("studio.trail.urls")),
    path("studio/outbox/", include("studio.outbox.urls")),
    path("figures/", include("gemcalc.web.urls")),
    path("studio/", include("commissions.record.urls")),
    path("studio/", include("commissions.design.urls")),
    path("studio/", include("commissions.sourcing.urls")),
    path("studio/", include("commissions.money.urls")),
    path("studio/", include("commissions.bench.urls")),
    path("studio/", include("commissions.delivery.urls")),
    path("studio/", include("commissions.letters.urls")),
    path("studio/", include("commissions.pages.keeping.urls")),
    path("yours/", include("commissions.pages.keeping.urls_client")),
    path("yours/", include("commissions.design.urls_client")),
    path("yours/", include("commissions.sourcing.urls_client")),
    path("yours/", include("commissions.money.urls_client")),
    path("yours/", include("commissions.bench.urls_client")),
    path("yours/", include("commissions.delivery.urls_client")),
    path("calendar/", include("commissions.delivery.urls_calendar")),
    path("kind-words/", include("commissions.delivery.urls_kind")),
    path("ring/", include("commissions.delivery.urls_public")),
    path("letters/", include("commissions.letters.urls_client")),
    path("", include("commissions.pages.urls")),
]
