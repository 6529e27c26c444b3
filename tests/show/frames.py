"""The pictures of a film, for the tests that look at them."""

import io

import numpy as np
from PIL import Image


def frames_of(film: bytes) -> list[np.ndarray]:
    """Every picture of a GIF or an animated PNG [height, width, 3]."""
    image, found = Image.open(io.BytesIO(film)), []
    for number in range(image.n_frames):
        image.seek(number)
        found.append(np.asarray(image.convert("RGB")))
    return found
