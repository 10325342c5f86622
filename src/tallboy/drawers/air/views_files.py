"""Bringing a logger's file: upload, questions where it leaves something open, and what came of it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib import messages
from django.core import signing
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from tallboy.book.pages import shop_of, tried, who
from tallboy.drawers.air import actions, incoming, queries
from tallboy.drawers.air.forms import AnswersForm, FileForm, ReasonForm, answers_from
from tallboy.drawers.air.logger_answers import Answers, Ask, BadLines
from tallboy.drawers.air.logger_columns import LARGEST_BYTES
from tallboy.drawers.air.views import crumbs
from tallboy.errors import BadFile, BadInput, NotFound

SALT = "air.incoming"


def _folder() -> Path:
    return Path(settings.BOOK.path) / "incoming"


def file_crumbs() -> list[dict[str, str]]:
    """Where the pages about files are."""
    return [*crumbs(), {"name": _("Logger's files"), "url": reverse("air:bring")}]


@require_http_methods(["GET", "HEAD", "POST"])
def bring(request: HttpRequest) -> HttpResponse:
    """Choose a logger's file and take it in."""
    by = who(request)
    form = FileForm(request.POST or None, request.FILES or None)
    if form.is_valid():
        upload = form.cleaned_data["file"]
        try:
            if upload.size > LARGEST_BYTES:
                raise BadFile(
                    _("%(name)s has more than 20 MB.") % {"name": upload.name}, _("Export a shorter stretch of time.")
                )
            return _take_in(request, upload.read(), upload.name, Answers(), None)
        except BadInput as error:
            form.add_error("file", str(error))
    context = {"form": form, "files": queries.files(by.shop), "crumbs": crumbs()}
    return render(request, "air/bring.html", context)


@require_POST
def answers(request: HttpRequest) -> HttpResponse:
    """The answers to what a file left open; the file itself has waited in the book's folder."""
    by = who(request)
    try:
        waiting = signing.loads(request.POST.get("waiting", ""), salt=SALT)
    except signing.BadSignature:
        raise NotFound(_("There is no file that waits for this answer."), _("Bring it again.")) from None
    if waiting["shop"] != by.shop.pk:
        raise NotFound(_("There is no file that waits for this answer."))
    data = incoming.take(_folder(), waiting["token"])
    try:
        return _take_in(request, data, waiting["name"], answers_from(request.POST), waiting)
    except BadInput as error:
        messages.error(request, str(error))
        return redirect("air:bring")


def _take_in(
    request: HttpRequest, data: bytes, name: str, given: Answers, waiting: dict[str, Any] | None
) -> HttpResponse:
    """Take a file in, or show what it leaves open, or which lines are bad."""
    by = who(request)
    try:
        done = actions.import_readings(by, data, name, given)
    except Ask as error:
        context = {"form": _form(request, error, given, waiting, data, name), "message": _first_words(error)}
        return render(request, "air/questions.html", {**context, "name": name, "crumbs": file_crumbs()})
    except BadLines as error:
        hidden = _form(request, Ask(()), given, waiting, data, name) if error.good else None
        context = {"bad": error, "form": hidden, "more": error.count - len(error.lines)}
        return render(request, "air/bad_lines.html", {**context, "name": name, "crumbs": file_crumbs()})
    if waiting is not None:
        incoming.drop(_folder(), waiting["token"])
    return redirect("air:file", done.file.pk)


def _first_words(error: Ask) -> str:
    """What the error says beyond its questions."""
    asked = " ".join(question.text for question in error.questions)
    return "" if error.message == asked else error.message


def _form(
    request: HttpRequest, error: Ask, given: Answers, waiting: dict[str, Any] | None, data: bytes, name: str
) -> AnswersForm:
    """The questions, with the file laid aside and the earlier answers carried along."""
    by = who(request)
    kept = waiting or {"shop": by.shop.pk, "name": name[-200:], "token": incoming.keep(_folder(), data, by.at)}
    return AnswersForm(questions=error.questions, earlier=given, initial={"waiting": signing.dumps(kept, salt=SALT)})


@require_safe
def file(request: HttpRequest, pk: int) -> HttpResponse:
    """What came of a file."""
    row = queries.file(shop_of(request), pk)
    return render(request, "air/file.html", {"file": row, "crumbs": file_crumbs()})


@require_http_methods(["GET", "HEAD", "POST"])
def take_back_file(request: HttpRequest, pk: int) -> HttpResponse:
    """Take a whole file back."""
    row = queries.file(shop_of(request), pk)
    form = ReasonForm(request.POST or None)
    if form.is_valid():
        name = row.name
        count = tried(form, lambda: actions.take_back_file(who(request), row, form.cleaned_data["reason"]))
        if count is not None:
            messages.success(
                request, _("%(name)s is taken back with its %(count)d readings.") % {"name": name, "count": count}
            )
            return redirect("air:air")
    return render(request, "air/take_back_file.html", {"form": form, "file": row, "crumbs": file_crumbs()})
