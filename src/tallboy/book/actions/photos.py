"""Keeping photographs."""

from __future__ import annotations

from django.conf import settings

from tallboy.book import photos
from tallboy.book.doing import By, new_file
from tallboy.book.models import Photo


def keep_photo(by: By, data: bytes, name: str) -> Photo:
    """Check, re-encode and store a photograph; the same picture twice is stored once.

    Part of other actions, which say in the journal what it shows.
    """
    ready = photos.prepare(data, name, megabytes=settings.PHOTO_MEGABYTES, megapixels=settings.PHOTO_MEGAPIXELS)
    photo, _made = Photo.objects.get_or_create(
        shop=by.shop,
        digest=ready.digest,
        defaults={
            "owner": by.person,
            "width": ready.width,
            "height": ready.height,
            "size": len(ready.jpeg),
            "added_at": by.at,
        },
    )
    # After the row, which makes another who keeps the same picture at this moment wait until we are done.
    if (file := photos.store(settings.BOOK, ready)) is not None:
        new_file(file)
    return photo
