"""What happens around every page: whose book it is, what the browser may load, errors in plain words."""

from __future__ import annotations

import logging
from collections.abc import Callable

from django.db import InterfaceError, OperationalError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.template.loader import get_template
from django.urls import reverse
from django.utils import timezone
from django.utils.deprecation import MiddlewareMixin
from django.utils.http import url_has_allowed_host_and_scheme

from tallboy.book import queries
from tallboy.book.doing import By
from tallboy.errors import BookTrouble, NotFound, Refused, TallboyError

# What a database says that is busy, full, read-only, stopped or away.
UNREACHABLE = (OperationalError, InterfaceError)
LOG = logging.getLogger("django.request")
Answer = Callable[[HttpRequest], HttpResponse]
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; font-src 'self'; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'; manifest-src 'self'"
)
# These answer before there is a shop, or whatever the shop is.
WITHOUT_SHOP = ("/welcome/", "/static/")


def content_policy(get_response: Answer) -> Answer:
    """Nothing is loaded from another host and no script or style stands in a page."""

    def middleware(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        response.headers.setdefault("Content-Security-Policy", POLICY)
        return response

    return middleware


def whose_book(get_response: Answer) -> Answer:
    """Put who acts, and when, on the request as `request.by`; send a book without a shop to its first page."""

    def middleware(request: HttpRequest) -> HttpResponse:
        try:
            person = queries.person_for(request.session.get("shop"))
        except UNREACHABLE as error:
            return _unreachable(request, error)
        if person is None:
            if not request.path.startswith(WITHOUT_SHOP):
                return redirect("welcome")
            return get_response(request)
        request.by = By(person, timezone.now())  # type: ignore[attr-defined]
        with timezone.override(person.shop.tz):
            return get_response(request)

    return middleware


def _unreachable(request: HttpRequest, error: Exception) -> HttpResponse:
    """The database is not there for us: a page that needs nothing of it. What it said goes to the log."""
    LOG.error("%s: the book cannot be reached: %s", request.path, error)
    return HttpResponse(get_template("503.html").render(), status=503)


def _back(request: HttpRequest) -> str:
    """Where the person came from, if it was one of our own pages."""
    referer = request.headers.get("Referer", "")
    own = url_has_allowed_host_and_scheme(referer, {request.get_host()}, require_https=request.is_secure())
    return referer if referer and own else reverse("today:today")


STATUS = ((NotFound, 404), (Refused, 409), (BookTrouble, 503), (TallboyError, 400))


class PlainErrors(MiddlewareMixin):
    """A foreseen error that no view has answered becomes a page in plain words, never a trace."""

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        if isinstance(error, UNREACHABLE):
            return _unreachable(request, error)
        if not isinstance(error, TallboyError):
            return None
        status = next(code for kind, code in STATUS if isinstance(error, kind))
        return render(request, "problem.html", {"problem": error, "back": _back(request)}, status=status)
