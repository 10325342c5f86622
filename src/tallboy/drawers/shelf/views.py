"""The pages of the Shelf drawer."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from tallboy.book.pages import done_or_told, shop_of, succeeds, tried, who
from tallboy.book.queries import journal
from tallboy.drawers.air.queries import USUAL_AIR, latest
from tallboy.drawers.shelf import actions, queries, words
from tallboy.drawers.shelf.forms import ProductForm, WeighForm, initial_of
from tallboy.drawers.shelf.labels import label_of
from tallboy.drawers.shelf.models import Product
from tallboy.drawers.shelf.telling import label_rows, shelf_row, stage_words, taught
from tallboy.drawers.shelf.touches import Fingers

A_PAGE = 40


def crumbs(product: Product | None = None) -> list[dict[str, str]]:
    """Where a page of this drawer is."""
    rows = [{"name": _("Shelf"), "url": reverse("shelf:shelf")}]
    if product is not None:
        rows.append({"name": product.name, "url": reverse("shelf:product", args=[product.pk])})
    return rows


@require_safe
def shelf(request: HttpRequest) -> HttpResponse:
    """What stands on the shelf."""
    page = Paginator(queries.products(shop_of(request)), A_PAGE).get_page(request.GET.get("page"))
    context = {"page": page, "rows": [shelf_row(product) for product in page], "usual": words.usual_shelf()}
    return render(request, "shelf/shelf.html", context)


@require_POST
def stock(request: HttpRequest) -> HttpResponse:
    """Set the usual products on the shelf."""
    made = done_or_told(request, lambda: actions.stock_usual_shelf(who(request)))
    if made:
        messages.success(request, _("They stand on the shelf. Write down what their labels say as you open them."))
    return redirect("shelf:shelf")


@require_safe
def product(request: HttpRequest, pk: int) -> HttpResponse:
    """One product: its label, how it dries in this shop's air now, its cautions."""
    row = queries.product(shop_of(request), pk)
    return render(request, "shelf/product.html", _context(request, row, WeighForm()))


def _context(request: HttpRequest, row: Product, form: WeighForm) -> dict[str, Any]:
    by = who(request)
    fingers = Fingers(row.shop, by.at, [row])
    laid = queries.laid_now(row, by.at, fingers)
    label = label_of(row)
    return {
        "product": row,
        "what": words.class_name(row.coating),
        "label": label,
        "label_rows": label_rows(row, label),
        "laid": laid,
        "stages": [{"name": stage_words(stage.key), "stage": stage} for stage in laid.stages],
        "usual_air": USUAL_AIR,
        "reading": latest(row.shop, who(request).at),
        "taught": taught(fingers.learned(row), queries.touches(row)),
        "cautions": words.cautions_of(row.coating),
        "weigh_form": form,
        "journal": journal(row.shop, "shelf.product", row.pk, limit=10),
        "crumbs": crumbs(),
    }


@require_POST
def weigh(request: HttpRequest, pk: int) -> HttpResponse:
    """How much is left."""
    row = queries.product(shop_of(request), pk)
    form = WeighForm(request.POST)
    if form.is_valid() and succeeds(
        form, lambda: actions.weigh_product(who(request), row, form.cleaned_data["left_ml"])
    ):
        return redirect("shelf:product", pk)
    return render(request, "shelf/product.html", _context(request, row, form))


@require_POST
def take_back_touch(request: HttpRequest, pk: int) -> HttpResponse:
    """A touch was a mistake."""
    row = queries.touch(shop_of(request), pk)
    if done_or_told(request, lambda: actions.take_back_touch(who(request), row)):
        messages.success(request, _("Taken back. The journal keeps what it said."))
    return redirect("shelf:product", row.product_id)


@require_http_methods(["GET", "HEAD", "POST"])
def add(request: HttpRequest) -> HttpResponse:
    """Set a product on the shelf: first its class, so that the form can say what is usual for it."""
    coating = request.POST.get("coating") or request.GET.get("coating") or ""
    if coating not in dict(words.class_choices()):
        return render(request, "shelf/choose_class.html", {"classes": words.class_choices(), "crumbs": crumbs()})
    shop = shop_of(request)
    initial = {
        "name": ""
        if queries.products(shop).filter(name=words.class_name(coating)).exists()
        else words.class_name(coating)
    }
    form = ProductForm(request.POST or None, shop=shop, coating=coating, initial=initial)
    if form.is_valid():
        made = tried(form, lambda: actions.add_product(who(request), **form.values()))
        if made is not None:
            return redirect("shelf:product", made.pk)
    context = {"form": form, "title": _("Set on the shelf"), "button": _("Set it on the shelf"), "crumbs": crumbs()}
    return render(request, "shelf/product_form.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def change(request: HttpRequest, pk: int) -> HttpResponse:
    """Correct what is written of a product."""
    row = queries.product(shop_of(request), pk)
    chosen = request.POST.get("coating", row.coating)
    coating = chosen if chosen in dict(words.class_choices()) else row.coating
    form = ProductForm(request.POST or None, shop=row.shop, coating=coating, initial=dict(initial_of(row)))
    if form.is_valid() and succeeds(form, lambda: actions.change_product(who(request), row, **form.values())):
        return redirect("shelf:product", pk)
    context = {"form": form, "title": row.name, "button": _("Keep"), "crumbs": crumbs(row)}
    return render(request, "shelf/product_form.html", context)
