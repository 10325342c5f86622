"""Photographs that people give us are hostile until read: what they are, how many pixels, what else they carry."""

from __future__ import annotations

import errno
import hashlib
import io
import os
import struct
import zlib
from pathlib import Path

import pytest
from django.conf import settings
from PIL import Image

from tallboy.book import photos
from tallboy.book.actions import keep_photo
from tallboy.book.doing import By, action, all_or_nothing
from tallboy.book.folder import BookFolder
from tallboy.book.models import Journal, Photo
from tallboy.errors import BadFile, BookTrouble, NotFound

pytestmark = pytest.mark.usefixtures("own_folder")
ORIENTATION, MAKER, GPS = 0x0112, 0x010F, 0x8825
RED, BLUE = (200, 30, 30), (30, 30, 200)


def half_and_half(form: str = "JPEG", orientation: int = 1, size: tuple[int, int] = (80, 40)) -> bytes:
    """A picture with a red left half and a blue right half, and a camera's notes when it is a JPEG."""
    image = Image.new("RGB", size, RED)
    image.paste(BLUE, (size[0] // 2, 0, size[0], size[1]))
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    exif[MAKER] = "A camera that tells"
    exif.get_ifd(GPS)[1] = "N"
    out = io.BytesIO()
    image.save(out, form, exif=exif, quality=95)
    return out.getvalue()


def png_header(width: int, height: int) -> bytes:
    """A PNG that claims its size in the header and has next to nothing behind it (PNG specification, 11.2.2 IHDR)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    size = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", size) + chunk(b"IDAT", zlib.compress(b"\0" * 64)) + chunk(b"IEND", b"")


def prepared(data: bytes, name: str = "front.jpg") -> photos.Prepared:
    """As the shop's settings have it."""
    return photos.prepare(data, name, megabytes=30, megapixels=120)


def is_near(found: object, wanted: tuple[int, int, int]) -> bool:
    """Whether a pixel is about this colour; JPEG does not keep it exactly."""
    assert isinstance(found, tuple)
    return all(abs(one - other) < 40 for one, other in zip(found, wanted, strict=True))


def refused(by: By, data: bytes, name: str) -> str:
    """The message that a photograph is refused with; nothing may be left behind."""
    rows, files = Journal.objects.count(), sorted(settings.BOOK.photos.rglob("*"))
    with pytest.raises(BadFile) as caught:
        keep_photo(by, data, name)
    assert not Photo.objects.exists()
    assert Journal.objects.count() == rows
    assert sorted(settings.BOOK.photos.rglob("*")) == files
    return str(caught.value)


def test_a_renamed_text_file_is_refused(by: By) -> None:
    """The bytes count, not the name; the message says which file and what is accepted."""
    message = refused(by, b"Dear Ines, the dresser is ready on Friday.\n" * 50, "dresser.jpg")
    assert message == "dresser.jpg is not a photograph that can be read. Photographs as JPEG, PNG or WebP are accepted."


@pytest.mark.parametrize("kind", ["GIF", "BMP", "TIFF"])
def test_a_kind_of_picture_that_is_not_accepted_is_refused(by: By, kind: str) -> None:
    """A picture under a photograph's name is still what it is."""
    out = io.BytesIO()
    Image.new("RGB", (8, 8)).save(out, kind)
    assert "not a photograph" in refused(by, out.getvalue(), "a.jpg")


@pytest.mark.parametrize("share", [0.3, 0.6, 0.95])
def test_a_truncated_photograph_is_refused(by: By, share: float) -> None:
    """A file that was cut off on its way is damaged, and is not kept half grey."""
    whole = half_and_half(size=(640, 480))
    message = refused(by, whole[: int(len(whole) * share)], "front.jpg")
    assert message.startswith("front.jpg is damaged")


def test_an_empty_file_is_refused(by: By) -> None:
    """Nothing is no photograph."""
    assert "not a photograph" in refused(by, b"", "empty.jpg")


def test_three_hundred_megapixels_are_refused_from_the_header(by: By) -> None:
    """The size is read before anything is decoded: a few bytes cannot fill the memory."""
    data = png_header(20_000, 15_000)
    assert len(data) < 200
    message = refused(by, data, "huge.png")
    assert message == (
        "huge.png has 20000 × 15000 pixels (300 million). A photograph may have 120 million pixels at most."
    )


def test_the_limit_on_pixels_is_the_settings() -> None:
    """No limit of the picture library stands in its way: what the setting allows gets as far as being decoded."""
    data = png_header(20_000, 15_000)
    with pytest.raises(BadFile, match="is damaged"):
        photos.prepare(data, "huge.png", megabytes=30, megapixels=301)
    with pytest.raises(BadFile, match="4000000 million"):
        photos.prepare(png_header(2_000_000, 2_000_000), "huger.png", megabytes=30, megapixels=301)


def test_a_file_with_too_many_bytes_is_refused() -> None:
    """The message gives the size found and the size allowed."""
    with pytest.raises(BadFile, match=r"long\.jpg is 2\.0 MB\. A photograph may have 1\.5 MB at most\."):
        photos.prepare(b"\0" * 2_000_000, "long.jpg", megabytes=1.5, megapixels=120)


# EXIF 2.32, 4.6.4, tag 0x0112: 3 is turned by 180°; with 6 the first row is the right side, with 8 the left side.
@pytest.mark.parametrize(
    ("orientation", "size", "red_at", "blue_at"),
    [
        (1, (80, 40), (10, 20), (70, 20)),
        (3, (80, 40), (70, 20), (10, 20)),
        (6, (40, 80), (20, 10), (20, 70)),
        (8, (40, 80), (20, 70), (20, 10)),
    ],
)
def test_a_turned_picture_comes_upright(
    orientation: int, size: tuple[int, int], red_at: tuple[int, int], blue_at: tuple[int, int]
) -> None:
    """What the camera noted about how it was held is done to the picture itself."""
    ready = prepared(half_and_half(orientation=orientation))
    with Image.open(io.BytesIO(ready.jpeg)) as image:
        assert image.size == (ready.width, ready.height) == size
        assert is_near(image.getpixel(red_at), RED)
        assert is_near(image.getpixel(blue_at), BLUE)


def test_what_the_camera_noted_is_left_out() -> None:
    """Nothing of where, when and by what a photograph was taken is kept."""
    source = half_and_half(orientation=6)
    assert b"A camera that tells" in source
    ready = prepared(source)
    assert b"A camera that tells" not in ready.jpeg
    with Image.open(io.BytesIO(ready.jpeg)) as image:
        assert image.format == "JPEG"
        assert dict(image.getexif()) == {}
        assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_each_accepted_kind_is_kept_as_jpeg(kind: str) -> None:
    """Whatever comes in, what is kept is a JPEG named by the SHA-256 of its bytes."""
    ready = prepared(half_and_half(kind), f"front.{kind.lower()}")
    assert ready.jpeg.startswith(b"\xff\xd8\xff")
    assert ready.digest == hashlib.sha256(ready.jpeg).hexdigest()


def test_a_very_large_photograph_is_made_smaller() -> None:
    """The longest side is 4000 px at most, in proportion."""
    ready = prepared(half_and_half(size=(6000, 1500)))
    assert (ready.width, ready.height) == (4000, 1000)


def test_the_same_picture_is_stored_once(by: By) -> None:
    """Twice given, once kept: one row, one file."""
    first = keep_photo(by, half_and_half(), "front.jpg")
    again = keep_photo(by, half_and_half(), "copy of front.jpg")
    assert again == first
    assert Photo.objects.count() == 1
    file: Path = settings.BOOK.photo(first.digest)
    assert [found.name for found in file.parent.glob(f"{first.digest}*")] == [file.name]
    assert hashlib.sha256(file.read_bytes()).hexdigest() == first.digest


def test_two_shops_with_the_same_picture_have_a_row_each(by: By, stranger: By) -> None:
    """The file is shared on the disk; whose it is is not."""
    mine, theirs = keep_photo(by, half_and_half(), "a.jpg"), keep_photo(stranger, half_and_half(), "a.jpg")
    assert mine.digest == theirs.digest
    assert (mine.shop, theirs.shop) == (by.shop, stranger.shop)


@pytest.mark.parametrize("side", photos.THUMBNAILS)
def test_a_thumbnail_has_the_side_asked_for(tmp_path: Path, side: int) -> None:
    """Made at first asking, in proportion, and the same file after that."""
    folder = BookFolder(tmp_path)
    ready = prepared(half_and_half(size=(1600, 1200)))
    photos.store(folder, ready)
    made = photos.thumbnail(folder, ready.digest, side)
    with Image.open(made) as image:
        assert image.size == (side, side * 3 // 4)
    written = made.stat().st_mtime_ns
    assert photos.thumbnail(folder, ready.digest, side).stat().st_mtime_ns == written


def test_no_half_written_file_is_left(tmp_path: Path) -> None:
    """A photograph appears whole under its name, and nothing else lies beside it."""
    folder = BookFolder(tmp_path)
    ready = prepared(half_and_half())
    photos.store(folder, ready)
    photos.store(folder, ready)
    assert [file.name for file in folder.photo(ready.digest).parent.iterdir()] == [f"{ready.digest}.jpg"]


def kept_files(folder: BookFolder) -> list[Path]:
    """Every file among the photographs, half-written ones too."""
    return [file for file in folder.photos.rglob("*") if file.is_file()]


@action
def keep_and_fail(by: By, data: bytes) -> None:
    """Keeps a photograph; what comes after it fails."""
    keep_photo(by, data, "front.jpg")
    raise BadFile("The next one is no photograph.")


@action
def keep_in_a_part_and_fail(by: By, data: bytes, folder: BookFolder) -> None:
    """One part of it keeps a photograph and ends well; the whole fails after that."""
    with all_or_nothing():
        keep_photo(by, data, "front.jpg")
    assert len(kept_files(folder)) == 1
    raise BadFile("The piece file names a route that is not there.")


def test_a_change_that_is_undone_leaves_no_file_behind(by: By, own_folder: BookFolder) -> None:
    """Neither a row nor a file; also where the change was a part of a larger one that went wrong later."""
    with pytest.raises(BadFile):
        keep_and_fail(by, half_and_half())
    assert (Photo.objects.count(), kept_files(own_folder)) == (0, [])
    with pytest.raises(BadFile):
        keep_in_a_part_and_fail(by, half_and_half(), own_folder)
    assert (Photo.objects.count(), kept_files(own_folder)) == (0, [])


def test_a_picture_that_was_there_before_stays_when_a_change_is_undone(by: By, own_folder: BookFolder) -> None:
    """Only what the change itself has written is taken away."""
    with all_or_nothing():
        keep_photo(by, half_and_half(), "front.jpg")
    with pytest.raises(BadFile):
        keep_and_fail(by, half_and_half())
    assert Photo.objects.count() == 1
    assert kept_files(own_folder) == [own_folder.photo(Photo.objects.get().digest)]


def test_a_full_disk_is_told_and_leaves_nothing(
    by: By, own_folder: BookFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Plain words; neither a row nor a half-written file."""

    def full(_descriptor: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    told = "cannot be kept in the book's folder: No space left on device"
    with pytest.raises(BookTrouble, match=told), all_or_nothing():
        keep_photo(by, half_and_half(), "front.jpg")
    assert (Photo.objects.count(), kept_files(own_folder)) == (0, [])


def test_a_full_disk_costs_the_small_copy_and_not_the_sight(
    by: By, own_folder: BookFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where no smaller copy can be written the photograph itself is shown."""
    photo = keep_photo(by, half_and_half(), "front.jpg")

    def full(*_paths: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    assert photos.thumbnail(own_folder, photo.digest, 360) == own_folder.photo(photo.digest)
    assert kept_files(own_folder) == [own_folder.photo(photo.digest)]


@pytest.mark.parametrize("now", [None, b"", b"no picture", half_and_half("PNG"), half_and_half()[:200]])
def test_a_file_that_was_lost_or_changed_has_no_small_copy(by: By, own_folder: BookFolder, now: bytes | None) -> None:
    """It is told as not found, whatever has become of it on the disk."""
    photo = keep_photo(by, half_and_half(), "front.jpg")
    file = own_folder.photo(photo.digest)
    file.unlink()
    if now is not None:
        file.write_bytes(now)
    with pytest.raises(NotFound, match="missing from the book's folder, or damaged"):
        photos.thumbnail(own_folder, photo.digest, 360)
