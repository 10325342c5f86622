"""Photographs from people: checked, turned upright, re-encoded without their metadata, stored by content hash."""

from __future__ import annotations

import hashlib
import io
import os
import tempfile
from dataclasses import dataclass
from pathlib import Path

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from PIL import Image, ImageOps, UnidentifiedImageError

from tallboy.book.folder import BookFolder
from tallboy.errors import BadFile, BookTrouble, NotFound

# The picture library's own limit is fixed; ours is a setting, and is checked from the header before anything is decoded.
Image.MAX_IMAGE_PIXELS = None

# Pictures of several frames that cameras write (MPO) are opened as JPEG.
ACCEPTED = ("JPEG", "PNG", "WEBP")
ACCEPTED_WORDS = gettext_lazy("Photographs as JPEG, PNG or WebP are accepted.")
LONGEST_SIDE = 4000
THUMBNAILS = (360, 1200)


@dataclass(frozen=True)
class Prepared:
    """A photograph ready to be stored: JPEG bytes, their SHA-256, width and height [px]."""

    jpeg: bytes
    digest: str
    width: int
    height: int


def prepare(data: bytes, name: str, *, megabytes: float, megapixels: float) -> Prepared:
    """Check a photograph and re-encode it. Raises BadFile naming the file, what is wrong and what is accepted.

    The pixel count is read from the header before anything is decoded, so a small file cannot fill the memory.
    """
    if len(data) > megabytes * 1_000_000:
        raise BadFile(
            _("%(name)s is %(size)s MB.") % {"name": name, "size": f"{len(data) / 1e6:.1f}"},
            _("A photograph may have %(most)s MB at most.") % {"most": f"{megabytes:g}"},
        )
    try:
        image = Image.open(io.BytesIO(data), formats=ACCEPTED)
        _check_pixels(image.size, name, megapixels)
        return _encode(ImageOps.exif_transpose(image).convert("RGB"))
    except UnidentifiedImageError:
        raise BadFile(
            _("%(name)s is not a photograph that can be read.") % {"name": name}, str(ACCEPTED_WORDS)
        ) from None
    except (OSError, SyntaxError, ValueError) as error:
        raise BadFile(
            _("%(name)s is damaged: %(error)s.") % {"name": name, "error": error}, str(ACCEPTED_WORDS)
        ) from None


def _check_pixels(size: tuple[int, int], name: str, megapixels: float) -> None:
    count = size[0] * size[1]
    if count > megapixels * 1e6:
        raise BadFile(
            _("%(name)s has %(width)d × %(height)d pixels (%(count).0f million).")
            % {"name": name, "width": size[0], "height": size[1], "count": count / 1e6},
            _("A photograph may have %(most)s million pixels at most.") % {"most": f"{megapixels:g}"},
        )


def _encode(image: Image.Image) -> Prepared:
    image.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    out = io.BytesIO()
    image.save(out, "JPEG", quality=88)
    jpeg = out.getvalue()
    return Prepared(jpeg, hashlib.sha256(jpeg).hexdigest(), image.width, image.height)


def store(folder: BookFolder, photo: Prepared) -> Path | None:
    """Write the file if it is not there yet, whole or not at all; gives the file when it is a new one.

    Raises BookTrouble when the folder cannot be written to, for example because the disk is full.
    """
    target = folder.photo(photo.digest)
    if target.exists():
        return None
    try:
        _write_whole(target, photo.jpeg)
    except OSError as error:
        raise BookTrouble(
            _("The photograph cannot be kept in the book's folder: %(why)s.")
            % {"why": error.strerror or _("it cannot be written to")},
            _("Look whether the disk is full or may not be written to, then try again."),
        ) from None
    return target


def _write_whole(target: Path, data: bytes) -> None:
    target.parent.mkdir(parents=True, exist_ok=True)
    descriptor, temporary = tempfile.mkstemp(dir=target.parent, prefix=".part-")
    try:
        with os.fdopen(descriptor, "wb") as handle:
            handle.write(data)
            handle.flush()
            os.fsync(handle.fileno())
        os.replace(temporary, target)
    except OSError:
        Path(temporary).unlink(missing_ok=True)
        raise


def thumbnail(folder: BookFolder, digest: str, side: int) -> Path:
    """The file of a smaller copy whose longest side is `side` px (one of THUMBNAILS), made at first asking.

    Raises NotFound when the photograph's own file is missing or is no picture any more. Where the copy cannot be written, on a full
    disk, the photograph itself is given.
    """
    whole = folder.photo(digest)
    target = whole.with_name(f"{digest}-{side}.jpg")
    if not target.exists():
        smaller = _smaller(whole, side)
        try:
            _write_whole(target, smaller)
        except OSError:
            return whole
    return target


def _smaller(whole: Path, side: int) -> bytes:
    out = io.BytesIO()
    try:
        with Image.open(whole, formats=("JPEG",)) as image:
            image.thumbnail((side, side))
            image.save(out, "JPEG", quality=80)
    except (OSError, SyntaxError, ValueError):
        raise NotFound(
            _("The file of this photograph is missing from the book's folder, or damaged."),
            _("Put it back from a copy."),
        ) from None
    return out.getvalue()
