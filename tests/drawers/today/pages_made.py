"""Opening pages of the Today drawer and pressing their buttons."""

from __future__ import annotations

from typing import Any

from django.test import Client
from django.urls import reverse

from tallboy.drawers.pieces.models import Step


def text_of(answer: Any) -> str:
    """The page that came back."""
    return str(answer.content.decode())


def address(name: str, *numbers: int | str) -> str:
    """The address of a page of the Today drawer."""
    return reverse(f"today:{name}", args=numbers)


def press(client: Client, name: str, of: Step, **values: Any) -> Any:
    """Press a button of a step and follow to the page after it."""
    return client.post(address(name, of.pk), values, follow=True)
