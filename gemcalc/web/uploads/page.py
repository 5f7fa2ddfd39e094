"""What every page that takes a file shares."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from django import forms
from django.conf import settings
from django.shortcuts import render

from gemcalc.errors import BadInput
from gemcalc.web.answer import Answer
from gemcalc.web.fields import FigureForm, sentence
from gemcalc.web.page import commission_in


def file_box(label: str, kinds: str, *, most: str = "", required: bool = True, **more) -> forms.FileField:
    """A box for a file of some *kinds* (endings with their dots, joined by commas), *most* its size."""
    widget = forms.FileInput(attrs={"accept": kinds})
    more.setdefault(
        "help_text", f"At most {most or f'{settings.UPLOAD_FILE_MB} MB'}: {kinds.replace(',', ', ')}"
    )
    return forms.FileField(
        label=label, widget=widget, required=required, allow_empty_file=True, max_length=200, **more
    )


class UploadForm(FigureForm):
    """A form with files; one that was cut off while it arrived says so beside its box."""

    def __init__(self, data=None, files=None, *, too_large=(), **more):
        self.too_large = tuple(too_large)
        super().__init__(data, files, **more)

    def clean(self):
        for name in self.too_large:
            if name in self.fields:
                self.errors.pop(name, None)
                self.add_error(
                    name, f"This file is larger than {settings.UPLOAD_FILE_MB} MB and was not taken."
                )
        return super().clean()


@dataclass(frozen=True, kw_only=True)
class Upload:
    """
    A page that takes a file.

    Args:
        name: Its name in the addresses.
        title: Heading.
        does: What it tells, in one plain sentence.
        act: Words on its button.
        form: Its form.
        answer: From clean values to the answer, and what stands in the boxes afterwards.
    """

    name: str
    title: str
    does: str
    act: str
    form: type[UploadForm]
    answer: Callable[[Mapping[str, Any]], tuple[Answer, dict[str, str]]]


def upload_page(request, upload: Upload):
    """The page; an answer where a file (or what stands for it) came with the request."""
    answer = None
    if request.method == "POST":
        data = request.POST.copy()
        if data.get("as"):
            data["unit"] = data["as"]
        form = upload.form(data, request.FILES, too_large=getattr(request, "too_large", ()))
        if form.is_valid():
            answer, data = _answered(form, upload, data)
            if answer is not None:
                form = upload.form(data, request.FILES)
                form.is_valid()
    else:
        form = upload.form()
    context = {"upload": upload, "form": form, "answer": answer, "commission": commission_in(request)}
    status = 422 if request.method == "POST" and answer is None else 200
    return render(request, "figures/upload.html", context, status=status)


def _answered(form: UploadForm, upload: Upload, data):
    try:
        answer, boxes = upload.answer(form.cleaned_data)
    except BadInput as error:
        form.refuse(error)
        return None, data
    for name, value in boxes.items():
        data[name] = value
    return answer, data


def refused(field: str, error: BadInput) -> BadInput:
    """The library's refusal of a file, at the box it came in by."""
    message = error.message
    if error.field not in ("file", "path", "points_mm", None, field):
        return error
    if error.field == "points_mm":
        message = f"its points {message}"
    elif message.startswith(("must be one of", "is ", "has ")):
        message = f"this file {message}"
    return BadInput(sentence(message), field=field)
