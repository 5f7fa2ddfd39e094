"""One page, one form: what every calculator shares."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.http import HttpResponse
from django.shortcuts import render

from gemcalc.errors import BadInput
from gemcalc.web.answer import Answer
from gemcalc.web.fields import FigureForm

REFERENCE = re.compile(r"[A-Z0-9]{2,8}-[A-Z0-9]{2,8}")
"""What a commission's reference looks like; anything else in the address is passed over."""


@dataclass(frozen=True, kw_only=True)
class Calculator:
    """
    A calculator.

    Args:
        name: Its name in the address.
        title: Heading of its page.
        does: What it tells, in one plain sentence.
        form: Its form.
        answer: From the form's clean values to the answer; raises BadInput.
        example: Values that show it at work.
    """

    name: str
    title: str
    does: str
    form: type[FigureForm]
    answer: Callable[[Mapping[str, Any]], Answer]
    example: Mapping[str, str]

    @property
    def example_query(self) -> str:
        """The example as it stands in an address."""
        return urlencode(self.example)


def commission_in(request) -> str:
    """Reference of the commission for which somebody is figuring, or nothing."""
    found = REFERENCE.fullmatch(request.GET.get("commission", "").strip())
    return found[0] if found else ""


def address_of(path: str, form: FigureForm, commission: str = "") -> str:
    """The page's address with what was typed."""
    pairs = form.typed_pairs() + ([("commission", commission)] if commission else [])
    return f"{path}?{urlencode(pairs, safe=',:½¼¾')}" if pairs else path


def asked(request, form: type[FigureForm]) -> bool:
    """Whether the address carries anything for the form."""
    return any(name in request.GET for name in form.base_fields)


def hush(form: FigureForm) -> list[str]:
    """
    Take back the errors of boxes that are still empty, and tell which those are.

    Somebody who is typing has not forgotten the next box.
    """
    wanting = form.wanting
    for name, errors in list(form.errors.as_data().items()):
        if errors and all(error.code == "required" for error in errors):
            del form.errors[name]
    return wanting


def answered(form: FigureForm, answer: Callable[[Mapping[str, Any]], Answer]) -> Answer | None:
    """The answer where the form holds one; the library's refusal goes beside the box at fault."""
    if not form.is_valid():
        return None
    try:
        return answer(form.cleaned_data)
    except BadInput as error:
        form.refuse(error)
        return None


def show(request, template: str, fragment: str, form: FigureForm, context: dict[str, Any]) -> HttpResponse:
    """The page, or while somebody types its answer alone, with the address that carries what was typed."""
    commission = commission_in(request)
    context = {"form": form, "commission": commission, "live": bool(request.htmx), **context}
    response = render(request, fragment if request.htmx else template, context)
    if request.htmx:
        response["HX-Replace-Url"] = address_of(request.path, form, commission)
    return response


def calculator_page(request, calculator: Calculator) -> HttpResponse:
    """A calculator's page for what the address says."""
    bound = asked(request, calculator.form)
    form = calculator.form(request.GET if bound else None)
    answer = answered(form, calculator.answer) if bound else None
    wanting = hush(form) if bound and request.htmx else []
    context = {"calculator": calculator, "answer": answer, "wanting": wanting, "asked": bound}
    return show(request, "figures/calculator.html", "figures/answer.html", form, context)
