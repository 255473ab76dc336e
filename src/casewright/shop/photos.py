"""Photographs: checked, turned upright, resized, stripped of location data, kept by their hash."""

from __future__ import annotations

import hashlib
import io

from casewright.errors import InputError
from casewright.shop.models import Photo

LONGEST = 1600
MOST_BYTES = 25_000_000
MOST_PIXELS = 60_000_000
KINDS = ("JPEG", "PNG", "WEBP")


def keep(data: bytes) -> Photo:
    """The photograph as kept; the same picture twice is kept once. InputError if it isn't one."""
    content, width, height = upright(data)
    digest = hashlib.sha256(content).hexdigest()
    row, _ = Photo.objects.get_or_create(
        digest=digest, defaults={"content": content, "width": width, "height": height}
    )
    return row


def upright(data: bytes) -> tuple[bytes, int, int]:
    """JPEG bytes turned as the camera was held, at most 1600 px, without any metadata."""
    from PIL import Image, ImageOps, UnidentifiedImageError

    if len(data) > MOST_BYTES:
        raise InputError("photo", f"{len(data)} bytes", "at most 25 MB", "Send a smaller picture.")
    try:
        with Image.open(io.BytesIO(data), formats=KINDS) as image:
            if image.width * image.height > MOST_PIXELS:
                raise InputError("photo", f"{image.size}", "at most 60 million pixels")
            turned = ImageOps.exif_transpose(image).convert("RGB")
    except (UnidentifiedImageError, OSError, ValueError, Image.DecompressionBombError):
        raise InputError(
            "photo", "this file", "a JPEG, PNG or WebP picture", "Take it again or choose another."
        ) from None
    turned.thumbnail((LONGEST, LONGEST))
    out = io.BytesIO()
    turned.save(out, "JPEG", quality=85, optimize=True)
    return out.getvalue(), turned.width, turned.height
