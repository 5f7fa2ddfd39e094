"""Which rows are a client's own: found by following the foreign keys to the client, their way in, or their pieces."""

from __future__ import annotations

from django.apps import apps
from django.db import models
from django.db.models import Q

from commissions.intake.models import Client
from commissions.record.models import Commission
from studio.outbox.models import Letter
from studio.people.models import ClientAccess

DEEPEST = 3
"""How many foreign keys lie between a row and its piece at most; a test holds every model against it."""


def ways_to(model: type[models.Model]) -> list[str]:
    """Lookups that lead from a row of *model* to the way in of the client it belongs to, the shortest first."""
    return sorted(_ways(model, DEEPEST), key=lambda way: (way.count("__"), way))


def _ways(model: type[models.Model], deep: int) -> set[str]:
    if model is ClientAccess:
        return {"pk"}
    if model is Client:
        return {"access"}
    if model is Commission:
        return {"client__access"}
    if deep == 0:
        return set()
    found = set()
    for field in model._meta.concrete_fields:
        target = field.related_model
        if field.is_relation and target is not model and isinstance(target, type):
            found |= {f"{field.name}__{way}" for way in _ways(target, deep - 1)}
    return found


def own_rows(*, access: ClientAccess) -> dict[str, Q]:
    """For every model with rows of clients, by label: the condition that finds this client's."""
    conditions = {}
    for model in apps.get_models():
        ways = ways_to(model)
        if ways:
            held = Q()
            for way in ways:
                held |= Q(**{way: access.pk})
            conditions[model._meta.label_lower] = held
    conditions[Letter._meta.label_lower] = Q(to=access.email)
    return conditions
