"""Small things that every drawer's views need."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar, cast

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse

from tallboy.book.doing import By
from tallboy.book.models import Shop
from tallboy.errors import TallboyError

R = TypeVar("R")
MOST_DIGITS = 40


def who(request: HttpRequest) -> By:
    """Who acts in this request, and when; put there by the roof."""
    return cast(By, request.by)  # type: ignore[attr-defined]


def shop_of(request: HttpRequest) -> Shop:
    """The shop whose book is open."""
    return who(request).shop


def whole_number(text: str) -> int | None:
    """A number that a form or an address gives in digits; None when it is none, or absurdly long."""
    return int(text) if text.isascii() and text.isdecimal() and len(text) <= MOST_DIGITS else None


def pdf_answer(pdf: bytes, name: str) -> HttpResponse:
    """A PDF that the browser shows and can save under a plain name."""
    disposition = f'inline; filename="{name}.pdf"'
    return HttpResponse(pdf, content_type="application/pdf", headers={"Content-Disposition": disposition})


def tried(form: forms.BaseForm, act: Callable[[], R]) -> R | None:
    """Do an action on behalf of a form; a foreseen error becomes the form's own message and None comes back."""
    try:
        return act()
    except TallboyError as error:
        form.add_error(None, str(error))
        return None


def succeeds(form: forms.BaseForm, act: Callable[[], object]) -> bool:
    """As `tried`, where only matters whether it went well."""
    try:
        act()
    except TallboyError as error:
        form.add_error(None, str(error))
        return False
    return True


def done_or_told(request: HttpRequest, act: Callable[[], R]) -> R | None:
    """Do an action behind a button; a foreseen error is shown on the next page and None comes back."""
    try:
        return act()
    except TallboyError as error:
        messages.error(request, str(error))
        return None
