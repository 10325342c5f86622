"""The book's first page, and the way between one's own book and the demo shop."""

from __future__ import annotations

from pathlib import Path
from zoneinfo import available_timezones

from django import forms
from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_http_methods, require_POST

from tallboy.book.forms import ShopForm
from tallboy.book.pages import tried
from tallboy.book.queries import own_shop
from tallboy.demo.shop import demo_once
from tallboy.drawers.today.opening import open_shop

# On Linux and macOS a link into the machine's list of zones.
MACHINE_CLOCK = Path("/etc/localtime")


class NewShopForm(ShopForm):
    """What a new book needs to know; everything can be changed later on the shop's page."""

    person = forms.CharField(label=_("Your name"), max_length=120)
    field_order = ("name", "person")


@require_http_methods(["GET", "HEAD", "POST"])
def welcome(request: HttpRequest) -> HttpResponse:
    """An empty book: start it and take in the first piece, or look around the demo shop."""
    if own_shop() is not None:
        return redirect("today:today")
    form = NewShopForm(request.POST or None, initial={"timezone": own_zone()})
    if form.is_valid():
        by = tried(form, lambda: open_shop(at=timezone.now(), **form.cleaned_data))
        if by is not None:
            request.session["shop"] = by.shop.pk
            return redirect("pieces:take-in")
        if own_shop() is not None:
            # Sent twice at the same moment: the other one has opened the book.
            return redirect("today:today")
    return render(request, "welcome.html", {"form": form})


def own_zone(clock: Path = MACHINE_CLOCK) -> str:
    """The time zone that this machine keeps, where it says so by name; else nothing, so that the person is asked."""
    name = clock.resolve().as_posix().partition("/zoneinfo/")[2]
    return name if name in available_timezones() else ""


def unreadable(request: HttpRequest, exception: Exception) -> HttpResponse:
    """A request that could not be read."""
    return HttpResponseBadRequest(render_to_string("400.html"))


@require_POST
def visit_demo(request: HttpRequest) -> HttpResponse:
    """Go to the demo shop; it is made at the first visit, beside one's own book and never mixed with it."""
    request.session["shop"] = demo_once(timezone.now()).pk
    return redirect("today:today")


@require_POST
def own_book(request: HttpRequest) -> HttpResponse:
    """Back to one's own book, or to its first page when it has not been started yet."""
    own = own_shop()
    if own is None:
        request.session.pop("shop", None)
        return redirect("welcome")
    request.session["shop"] = own.pk
    return redirect("today:today")
