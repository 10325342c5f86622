"""The pages of the sums: empty, filled in, wrongly filled in, prefilled by another page."""

from __future__ import annotations

import re
from urllib.parse import urlencode

import pytest
from django.test import Client
from django.urls import reverse
from tests.desk.desk_made import EVERY_KIND

from tallboy.book import actions as book
from tallboy.book.doing import By
from tallboy.book.models import Journal
from tallboy.desk.actions import add_row
from tallboy.desk.sum_form import spelled
from tallboy.errors import NotFound
from tallboy.workings import known

pytestmark = pytest.mark.usefixtures("made_up")


def page(client: Client, query: dict[str, object] | None = None, name: str = "try-it") -> str:
    """The text of a sum's page, which always works."""
    answer = client.get(f"{reverse('desk:sum', args=[name])}?{urlencode(query or {}, doseq=True)}")
    assert answer.status_code == 200
    return answer.content.decode()


def filled(text: str, name: str) -> str:
    """What stands in an input."""
    found = re.search(rf'<input type="text" name="{name}" value="([^"]*)"', text)
    return found[1] if found else ""


def test_all_sums_stand_under_their_family(client: Client) -> None:
    """Each with the question it answers and a link."""
    text = client.get(reverse("desk:sums")).content.decode()
    assert "Air and dew" in text
    assert 'href="/sums/try-it/">Try every input</a><small>What does it say?</small>' in text
    for name in known.all_workings():
        assert f'href="/sums/{name}/"' in text


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("every INPUT", True),
        ("what does it", True),
        ("dew try-it", True),
        ("to be spared", True),
        ("zebra", False),
        ("quartered", True),
        ("SHELLAC", True),
        ("red oak try", True),
    ],
)
def test_a_sum_is_looked_up_by_words(client: Client, words: str, found: bool) -> None:
    """In its title, question, family and inputs, and in what can be chosen there, without regard to case; every word counts."""
    text = client.get(reverse("desk:sums"), {"find": words}).content.decode()
    assert ('href="/sums/try-it/"' in text) is found
    assert ("No sum speaks of" in text) is not found


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("shrink", "wood-movement"), ("sticking drawer", "seasonal-gap"), ("wobbly", "rock"), ("caster", "wheel-rolling"),
        ("drill bit", "pilot-holes"), ("fumes", "fresh-air"), ("loose screw", "stripped-hole"), ("quote", "job-price"), ("VAT", "tax"),
    ],
)  # fmt: skip
def test_a_sum_is_found_by_the_word_at_the_bench(client: Client, words: str, name: str) -> None:
    """Not only by those that its title has."""
    assert f'href="/sums/{name}/"' in client.get(reverse("desk:sums"), {"find": words}).content.decode()


def test_an_own_row_leads_to_the_sums_that_take_it(client: Client, by: By) -> None:
    """Its name is looked up too."""
    add_row(by, "woods", "quay elm", {}, "mine")
    assert 'href="/sums/try-it/"' in client.get(reverse("desk:sums"), {"find": "quay elm"}).content.decode()


def test_each_family_can_be_reached_from_the_top(client: Client) -> None:
    """A link to each; none of them when something is looked for."""
    text = client.get(reverse("desk:sums")).content.decode()
    for key, name in known.FAMILIES.items():
        assert f'<a href="#family-{key}">{name}</a>' in text
        assert f'id="family-{key}"' in text
    assert 'class="jump"' not in client.get(reverse("desk:sums"), {"find": "dew"}).content.decode()


def test_an_empty_page_shows_the_defaults_and_an_example(client: Client) -> None:
    """No result, no errors; defaults as bare numbers beside their unit; a link that fills the example in."""
    text = page(client)
    assert "Result" not in text
    assert "errorlist" not in text
    assert (filled(text, "celsius"), filled(text, "width"), filled(text, "coats")) == ("", "20", "2")
    assert re.search(r'value="flat"[^>]*checked', text)
    assert '<option value="red oak" selected>' in text
    assert 'href="?celsius=18&amp;name=quay"' in text
    assert "In the shade. −20 to 50 °C." in text


def test_the_answer_stands_first_and_whole(client: Client) -> None:
    """Verdict, figures with spread, caution, drawings for both widths, table, working, limits, sources; then the inputs."""
    text = page(client, {"celsius": "18", "spare": ["shellac", "alkyd 188"], "thinned": "yes"})
    parts = (
        "It is 18 °C.", "18.0 °C", "17.0 to 19.0", "red oak", "yes", "Dust", "plot-wide", "plot-narrow", "acetone", "warmth = as read",
        "It knows no wind.", "From memory, not confirmed", "Wood Handbook", "Inputs",
    )  # fmt: skip
    places = [text.index(part, text.index("<main")) for part in parts]
    assert places[0] < places[1] < places[5] < places[6] < places[8] < places[9] < places[10] < places[11] < places[13]
    assert text.count("<svg class=&quot;plot") == 0
    assert text.count('<svg class="plot"') == 2
    assert "<dt>Spared</dt><dd><b>2</b>" in text


@pytest.mark.parametrize(
    ("system", "told"),
    [("metric", ("<b>18.3 °C</b>", "(17.3 to 19.3)")), ("imperial", ("<b>64.9 °F</b>", "(63.1 to 66.7)"))],
)
def test_a_figure_stands_once_with_its_spread(client: Client, by: By, system: str, told: tuple[str, str]) -> None:
    """Value and ends to the same place, whatever the shop's units."""
    book.change_shop(by, units=system)
    line = re.search(r"<dt>Warmth</dt><dd>(.*?)</dd>", page(client, {"celsius": "18.27 °C"}))
    assert line is not None
    assert line[1] == f'{told[0]} <span class="spread">{told[1]}</span>'


def test_the_address_keeps_the_inputs(client: Client) -> None:
    """What was typed stands in the form again, ticks and choices too."""
    query = {"celsius": "18,5", "width": "3/4 in", "cut": "quarter", "side": "c", "wood": "quaking aspen", "spare": "shellac",
             "diameters": "12\n13", "cans": "750 ml = 14.90", "thinned": "no", "name": 'his "best"'}  # fmt: skip
    text = page(client, dict(query))
    assert (filled(text, "celsius"), filled(text, "width")) == ("18,5", "3/4 in")
    assert re.search(r'value="quarter"[^>]*checked', text)
    assert '<option value="c" selected>' in text
    assert re.search(r'value="shellac" checked', text)
    assert re.search(r'value="no"[^>]*checked', text)
    assert "12\n13</textarea>" in text
    assert "750 ml = 14.90</textarea>" in text
    assert filled(text, "name") == "his &quot;best&quot;"


def test_the_printed_page_tells_the_inputs(client: Client) -> None:
    """Boxes are not printed; a list says what was put in, bare numbers with their unit, choices in their words."""
    text = page(client, {"celsius": "18", "cut": "quarter", "name": "quay"})
    printed = text[text.index('class="facts print-only"') :]
    for line in ("<dt>Air temperature</dt><dd>18 °C</dd>", "<dt>Width</dt><dd>20 mm</dd>", "<dt>Cut</dt><dd>quartered</dd>",
                 "<dt>Its name</dt><dd>quay</dd>"):  # fmt: skip
        assert line in printed
    assert "<dt>Side</dt>" not in printed


def test_what_is_typed_is_shown_as_text(client: Client) -> None:
    """Never taken for markup, not even in the working."""
    text = page(client, {"celsius": "18", "name": "<script>alert(1)</script>"})
    assert "<script>alert" not in text
    assert "&lt;b&gt;&lt;script&gt;alert(1)" in text


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ({"celsius": "warm"}, "celsius"), ({"celsius": "99"}, "celsius"), ({"celsius": ""}, "celsius"), ({"coats": "1.5"}, "coats"),
        ({"cut": "round"}, "cut"), ({"wood": "moon oak"}, "wood"), ({"spare": ["shellac", "moon dust"]}, "spare"),
        ({"diameters": "12; thick"}, "diameters"), ({"cans": "750 ml"}, "cans"), ({"thinned": "perhaps"}, "thinned"),
        ({"width": "1e999"}, "width"), ({"name": "x" * 20_001}, "name"),
    ],
)  # fmt: skip
def test_an_error_stands_at_its_input(client: Client, wrong: dict[str, object], told: str) -> None:
    """Nothing is worked out, the other inputs are kept, and the summary leads to the one that is wrong."""
    text = page(client, {"celsius": "18", **wrong})
    assert "Result" not in text
    assert f'id="id_{told}_error"' in text
    assert text.count('class="errorlist"') == 1
    assert re.search(rf'class="form-errors".*href="#id_{told}', text, re.S)
    if told != "celsius":
        assert filled(text, "celsius") == "18"


def test_an_input_that_is_not_asked_for_is_told(client: Client) -> None:
    """An address typed by hand, or an old link: nothing is passed over in silence."""
    text = page(client, {"celsius": "18", "moon": "full"})
    assert "does not ask for “moon”" in text
    assert "Result" not in text


def test_a_sum_that_refuses_says_why(client: Client) -> None:
    """In the place of the answer, with what would help."""
    assert "It never dries. Warm the shop." in page(client, {"n": "1"}, "never")


def test_a_link_may_bring_some_of_the_inputs(client: Client) -> None:
    """The rest is asked for, and is not yet called wrong."""
    text = page(client, {"wood": "quaking aspen"})
    assert "The rest is for you" in text
    assert "errorlist" not in text
    assert '<option value="quaking aspen" selected>' in text


def test_an_imperial_shop_reads_and_speaks_inches_and_fahrenheit(client: Client, by: By) -> None:
    """Bare numbers, ranges, defaults and results; what names its unit is what it says."""
    book.change_shop(by, units="imperial")
    text = page(client)
    assert "−4 to 122 °F." in text
    assert ">°F<" in text
    assert ">in<" in text
    assert filled(text, "width") == "20 mm"
    text = page(client, {"celsius": "68"})
    assert "68.0 °F" in text
    assert "66.2 to 69.8" in text
    assert "64.4 °F" in page(client, {"celsius": "18 °C"})


def test_an_example_means_the_same_in_every_shop() -> None:
    """Bare lengths and temperatures are spelled out where they would be read as inches or °F; the rest is left alone."""
    asked = {one.name: one for one in EVERY_KIND.inputs}
    assert spelled(asked["diameters"], "12; 13 mm\n1/2 in", "imperial") == "12 mm; 13 mm; 1/2 in"
    assert spelled(asked["cans"], "750 = 14.90; 2.5 l = 36", "imperial") == "750 = 14.90; 2.5 l = 36"
    assert spelled(asked["celsius"], "-5", "imperial") == "-5 °C"
    assert spelled(asked["diameters"], "12; 13", "metric") == "12; 13"
    assert spelled(asked["name"], "12", "imperial") == "12"


def test_rows_of_ones_own_may_be_chosen(client: Client, by: By, stranger: By) -> None:
    """They stand among the printed ones, marked; those of another shop do not."""
    add_row(by, "woods", "quay elm", {"gravity_12": 0.6}, "my own measurement")
    add_row(stranger, "woods", "hill elm", {"gravity_12": 0.6}, "theirs")
    text = page(client)
    assert '<optgroup label="Your own">' in text
    assert '<option value="quay elm">quay elm</option>' in text
    assert "hill elm" not in text
    text = page(client, {"celsius": "18", "wood": "Quay Elm"})
    assert "<dt>Wood</dt><dd><b>quay elm</b>" in text
    assert "my own measurement" in text
    assert "There is no “hill elm”" in page(client, {"celsius": "18", "wood": "hill elm"})


def test_an_unknown_sum_is_not_found(client: Client) -> None:
    """With the nearest names."""
    answer = client.get(reverse("desk:sum", args=["try-itt"]))
    assert answer.status_code == 404
    assert "Did you mean: try-it" in answer.content.decode()
    with pytest.raises(NotFound):
        known.working("moon")


@pytest.mark.parametrize(
    "address", ["/sums/", "/sums/try-it/", "/tables/", "/tables/woods/", "/checks/", "/checks/air/"]
)
def test_what_is_only_read_takes_no_post(client: Client, address: str) -> None:
    """Nothing can be sent to a page that only shows."""
    assert client.post(address).status_code == 405


def test_looking_changes_nothing(client: Client) -> None:
    """No journal row is written by working a sum."""
    before = Journal.objects.count()
    page(client, {"celsius": "18"})
    assert Journal.objects.count() == before
