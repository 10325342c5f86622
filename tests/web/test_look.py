"""The style sheet and the shared parts of pages: contrast, weight, and what works when little else does."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from django import forms
from django.core.paginator import Paginator
from django.template.loader import render_to_string

import tallboy.web

WEB = Path(tallboy.web.__file__).parent
STYLE = (WEB / "static" / "tallboy.css").read_text(encoding="utf-8")
CLASSES = (WEB / "styles.md").read_text(encoding="utf-8").split("```")[1]
LIGHT, DARK = (
    dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{3,6})\b", root))
    for root in re.findall(r":root \{(.*?)\}", STYLE, re.S)[:2]
)

# Text on its ground; WCAG 2.2 success criterion 1.4.3 asks 4.5 : 1.
TEXT = [
    *((ink, ground) for ink in ("ink", "soft", "verd") for ground in ("paper", "sheet")),
    ("ink", "wash"), ("ink", "open"), ("soft", "open"), ("ink", "oxide-wash"), ("oxide", "oxide-wash"), ("oxide", "sheet"),
    ("ink", "verd-wash"), ("on-verd", "verd"), ("on-wood", "front"), ("on-wood-soft", "front"), ("on-wood", "walnut"),
]  # fmt: skip
# What must be seen to use the page; success criterion 1.4.11 asks 3 : 1.
SHAPES = [
    ("soft", "sheet"),
    ("verd", "sheet"),
    ("verd", "paper"),
    ("oxide", "sheet"),
    ("bail", "front"),
    ("brass", "open"),
    ("plan-wood", "sheet"),
]


def luminance(colour: str) -> float:
    """Relative luminance of an sRGB colour, as WCAG 2.2 defines it (definition "relative luminance")."""
    digits = colour[1:] if len(colour) == 7 else "".join(c * 2 for c in colour[1:])
    parts = [int(digits[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, as WCAG 2.2 defines it (definition "contrast ratio")."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(
    ("ink", "ground", "least"), [*((*pair, 4.5) for pair in TEXT), *((*pair, 3.0) for pair in SHAPES)]
)
def test_contrast(scheme: str, ink: str, ground: str, least: float) -> None:
    """Every pair of colours that meet on a page stands apart enough, by day and by night."""
    colours = LIGHT if scheme == "light" else LIGHT | DARK
    assert contrast(colours[ink], colours[ground]) >= least


def test_style_sheet_is_light_and_loads_nothing() -> None:
    """At most 22 kB, and nothing fetched: the only url() are patterns drawn in the page itself."""
    assert len(STYLE.encode()) <= 22_000
    assert "@import" not in STYLE
    assert all(target.startswith("#") for target in re.findall(r"url\(([^)]*)\)", STYLE))


def test_classes_on_the_list_exist() -> None:
    """The list of classes beside the style sheet names only classes that it styles."""
    named = set(re.findall(r"\.([a-z]+(?:-[a-z]+)*)", CLASSES)) | set(
        re.findall(r"\b((?:el|plan)-[a-z]+(?:-[a-z]+)*)", CLASSES)
    )
    without_a_rule = {"todo"}  # a step to do is the plain hollow square
    assert {name for name in named if f".{name}" not in STYLE} == without_a_rule


@pytest.mark.parametrize(
    "page", ["400.html", "403.html", "403_csrf.html", "404.html", "500.html", "503.html", "problem.html"]
)
def test_error_pages_need_no_context(page: str) -> None:
    """Every error page can be made with nothing at hand, and says in plain words what to do next."""
    text = render_to_string(page)
    assert "<h1>" in text
    assert "Traceback" not in text
    assert "<style" not in text
    assert " style=" not in text


class TakeOff(forms.Form):
    """A form with each shape of field that the parts know."""

    screws = forms.IntegerField(label="Screws", help_text="How many held it.")
    width = forms.FloatField(label="Width")
    fate = forms.ChoiceField(
        label="What becomes of it", choices=[("k", "keep"), ("r", "repair")], widget=forms.RadioSelect
    )
    loose = forms.BooleanField(label="It was loose", required=False)


def test_field_is_bound_to_its_help_and_error() -> None:
    """The input names its help and its error, so that both are read out with it."""
    form = TakeOff({"screws": "many", "width": "3", "fate": "k"})
    text = render_to_string("parts/field.html", {"field": form["screws"]})
    assert 'aria-describedby="id_screws_helptext id_screws_error"' in text
    assert 'id="id_screws_helptext"' in text
    assert 'id="id_screws_error"' in text
    assert 'aria-invalid="true"' in text


def test_unit_is_heard_with_the_label() -> None:
    """A number's unit belongs to its label for those who hear the page."""
    assert '<span class="vh">in mm</span>' in render_to_string(
        "parts/field.html", {"field": TakeOff()["width"], "unit": "mm"}
    )


def test_choices_are_grouped_under_their_question() -> None:
    """Radio buttons stand in a fieldset whose legend is the question; the browser's own buttons stay."""
    text = render_to_string("parts/field.html", {"field": TakeOff()["fate"]})
    assert re.search(r"<fieldset[^>]*>\s*<legend>What becomes of it</legend>", text)
    assert text.count('type="radio"') == 2


def test_form_errors_lead_to_the_fields() -> None:
    """The summary counts what needs another look and links to each field."""
    text = render_to_string("parts/form_errors.html", {"form": TakeOff({"screws": "many", "fate": "k"})})
    assert "2 things need another look" in text
    assert 'href="#id_screws"' in text
    assert 'href="#id_width"' in text


def test_pager_says_where_in_the_list() -> None:
    """A long list says which rows are shown and leads both ways; a short one shows no pager."""
    text = render_to_string("parts/pager.html", {"page": Paginator(range(200), 25).page(2), "query": "kind=hinge&"})
    assert "26 to 50 of 200" in text
    assert 'href="?kind=hinge&amp;page=3"' in text
    assert not render_to_string("parts/pager.html", {"page": Paginator(range(3), 25).page(1)}).strip()
