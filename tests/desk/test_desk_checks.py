"""The pages of the published checks."""

from __future__ import annotations

import html
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.conf import LazySettings
from django.test import Client
from django.urls import reverse

import tallboy.web
from tallboy.checks.kinds import Check, Outcome
from tallboy.checks.load import all_checks
from tallboy.checks.run import outcome, outcomes
from tallboy.desk import checking
from tallboy.desk.reference import data_files
from tallboy.errors import BadFile
from tallboy.sums.air import dew_point

STATIC = Path(tallboy.web.__file__).parent / "static"
STYLES = sum((STATIC / name).stat().st_size for name in ("tallboy.css", "desk.css"))
DEW = Check(
    "air", "air.dew_point", {"celsius": 20, "relative_humidity": 50}, 9.27, 0.1, "°C", "", "memory", "memory", "a note"
)
WRONG = Check(
    "air", "air.dew_point", {"celsius": 20, "relative_humidity": 50}, 19.0, 0.1, "°C", "", "memory", "read", ""
)
RAISES = Check("film", "air.dew_point", {"celsius": "warm"}, 1.0, 0.1, "", "", "memory", "read", "")
NO_DATA = Check(
    "wheel", "air.dew_point", {"celsius": {"file": "c.txt", "read": "x"}}, 1.0, 0.1, "", "", "memory", "read", ""
)


@pytest.fixture
def four(monkeypatch: pytest.MonkeyPatch, settings: LazySettings) -> Iterator[None]:
    """Four made-up checks: one holds, one does not, one's sum fails, one's data are not at hand."""
    settings.REFERENCE = ""
    monkeypatch.setattr(checking, "all_checks", lambda: (DEW, WRONG, RAISES, NO_DATA))
    checking.of_family.cache_clear()
    yield
    checking.of_family.cache_clear()


def text_of(client: Client, address: str) -> str:
    """The text of a page that works."""
    answer = client.get(address)
    assert answer.status_code == 200
    assert len(answer.content) + STYLES <= 100_000
    return html.unescape(answer.content.decode())


@pytest.mark.usefixtures("four")
def test_the_summary_counts_by_family_and_by_how(client: Client) -> None:
    """What holds, what does not (shown at once), and what cannot be told without its data."""
    text = text_of(client, reverse("desk:checks"))
    assert "4 checks" in text
    assert "1 hold, <b>1 do not hold</b>" in text
    assert "1 without data at hand" in text
    assert "These do not hold" in text
    assert "TALLBOY_REFERENCE" in text
    assert "from memory, not confirmed" in text


@pytest.mark.usefixtures("four")
def test_a_family_shows_each_check_in_full(client: Client) -> None:
    """Function, arguments, expected, got, difference, what is allowed, verdict; source and how it was obtained."""
    text = text_of(client, reverse("desk:checks-of", args=["air"]))
    for part in ("air.dew_point", "celsius 20, relative humidity 50", "9.27 °C", "0.1 °C", "holds", "DOES NOT HOLD", "a note.",
                 "From memory, not confirmed", "read in a public copy"):  # fmt: skip
        assert part in text


@pytest.mark.usefixtures("four")
def test_a_check_says_what_its_sum_does(client: Client) -> None:
    """In the words of the function itself, before its name."""
    does = (dew_point.__doc__ or "").partition("\n")[0]
    assert f"<h2>{does} <small>air.dew_point</small></h2>" in text_of(client, reverse("desk:checks-of", args=["air"]))


@pytest.mark.usefixtures("four")
def test_a_sum_that_fails_hides_no_other_check(client: Client) -> None:
    """It is shown as one that does not hold, with what it said."""
    text = text_of(client, reverse("desk:checks-of", args=["film"]))
    assert "DOES NOT HOLD" in text
    assert "Error: " in text


@pytest.mark.usefixtures("four")
def test_a_check_without_its_data_says_so(client: Client) -> None:
    """It neither holds nor fails."""
    assert "data not at hand" in text_of(client, reverse("desk:checks-of", args=["wheel"]))


def test_an_unknown_family_is_not_found(client: Client) -> None:
    """A plain page."""
    assert client.get(reverse("desk:checks-of", args=["moons"])).status_code == 404


def test_every_page_of_the_real_checks_is_light(client: Client) -> None:
    """All families, all their pages; each check appears once."""
    text_of(client, reverse("desk:checks"))
    shown = 0
    for family in {check.family for check in all_checks()}:
        address = reverse("desk:checks-of", args=[family])
        count = sum(check.family == family for check in all_checks())
        for number in range(1, -(-count // 60) + 1):
            shown += text_of(client, f"{address}?page={number}").count('data-label="Verdict"')
    assert shown == len(all_checks())


def test_checks_are_worked_out_once(client: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    """The second page takes what the first has found."""
    text_of(client, reverse("desk:checks"))
    monkeypatch.setattr(checking, "outcome", lambda *_args: pytest.fail("worked out again"))
    text_of(client, reverse("desk:checks"))


def test_data_files_are_read_below_their_folder(tmp_path: Path) -> None:
    """A file that is there is read; without it, or without a folder, it is not at hand."""
    (tmp_path / "circles").mkdir()
    (tmp_path / "circles" / "one.ds").write_text("1 2 3")
    assert data_files(str(tmp_path))("circles/one.ds") == "1 2 3"
    assert data_files(str(tmp_path))("circles/two.ds") is None
    assert data_files("")("circles/one.ds") is None


def test_a_family_does_not_wait_for_the_others(client: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    """Only its own checks are worked out for its page."""
    worked: list[str] = []

    def counted(check: Check, *more: Any) -> Outcome:
        worked.append(check.family)
        return outcome(check, *more)

    checking.of_family.cache_clear()
    monkeypatch.setattr(checking, "outcome", counted)
    text_of(client, reverse("desk:checks-of", args=["air"]))
    assert set(worked) == {"air"}


def test_an_answer_is_worked_out_once_for_all_its_parts(monkeypatch: pytest.MonkeyPatch) -> None:
    """Checks that look at other parts of the same answer share it."""
    asked: list[float] = []

    def dew(celsius: float, relative_humidity: float) -> float:
        asked.append(celsius)
        return 9.27

    monkeypatch.setattr("tallboy.sums.air.dew_point", dew)
    assert [one.holds for one in outcomes([DEW, DEW, WRONG])] == [True, True, False]
    assert asked == [20]


@pytest.mark.parametrize("folder", ["~no-such-person/data", __file__, "nowhere/at/all"])
def test_a_folder_that_is_none_has_no_data(folder: str) -> None:
    """The page says of each check that its data are not at hand, as without the setting."""
    assert data_files(folder)("circles/cir2d1.ds") is None


def test_a_data_file_that_cannot_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is named, with what the machine says of it."""
    (tmp_path / "locked.ds").write_text("3", encoding="ascii")

    def refuses(*_args: object, **_more: object) -> str:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "read_text", refuses)
    with pytest.raises(BadFile, match=r"locked\.ds cannot be read: Permission denied"):
        data_files(str(tmp_path))("locked.ds")
