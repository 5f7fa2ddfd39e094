"""What people of the studio are called in the trail."""

from __future__ import annotations

from studio.people.models import Person
from studio.trail.naming import Name, numbers_behind


def names_of(*, keys: list[str]) -> dict[str, Name]:
    """Names behind keys such as ``person:7``, in one query."""
    wanted = numbers_behind(keys, prefix="person:")
    rows = Person.objects.filter(pk__in=wanted).values_list("pk", "full_name") if wanted else ()
    return {f"person:{pk}": Name(words=name, path=f"/studio/people/{pk}/") for pk, name in rows}
