"""A photo of a 24-patch chart with black gaps, rendered from published values.

Reflectances: Ohta (1997), as colour-science carries them ("ColorChecker N Ohta"); illuminants:
CIE D65 and A. The camera is an sRGB one whose white balance is a little off.
"""

from __future__ import annotations

import warnings

import cv2
import numpy as np

PATCH_MM, GAP_MM, RIM_MM = 40.0, 5.0, 8.0
SIZE_MM = (6 * PATCH_MM + 5 * GAP_MM + 2 * RIM_MM, 4 * PATCH_MM + 3 * GAP_MM + 2 * RIM_MM)


def chart_xyz(illuminant: str) -> tuple[list[str], np.ndarray, np.ndarray]:
    """Return names, XYZ of the 24 patches (white Y = 1) and XYZ of the white under an illuminant."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

        light = colour.SDS_ILLUMINANTS[illuminant].copy().align(colour.SpectralShape(380, 730, 10))
        eye = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(light.shape)
        patches = colour.SDS_COLOURCHECKERS["ColorChecker N Ohta"]
        names = list(patches)
        white = eye.values.T @ light.values
        found = [
            eye.values.T @ (light.values * patches[name].copy().align(light.shape).values) for name in names
        ]
    return names, np.array(found) / white[1], white / white[1]


def balanced_linear(xyz: np.ndarray, white: np.ndarray) -> np.ndarray:
    """Return linear sRGB with the illuminant's white brought to D65, Bradford (ICC.1:2010, annex E)."""
    bradford = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])
    d65 = np.array([0.95047, 1.0, 1.08883])
    change = np.linalg.inv(bradford) @ np.diag((bradford @ d65) / (bradford @ white)) @ bradford
    to_srgb = np.array([[3.2406, -1.5372, -0.4986], [-0.9689, 1.8758, 0.0415], [0.0557, -0.2040, 1.0570]])
    return xyz @ change.T @ to_srgb.T


def render_chart(
    illuminant: str, *, seed: int = 0, light_ratio: float = 2.0
) -> tuple[np.ndarray, np.ndarray]:
    """Return a photo, uint8 sRGB of 1500 x 1150 px, and the chart's corners in it."""
    random = np.random.default_rng(seed)
    _, xyz, white = chart_xyz(illuminant)
    linear = balanced_linear(xyz, white)
    scale = 4.0
    shape = (round(SIZE_MM[1] * scale), round(SIZE_MM[0] * scale))
    texture = np.full((*shape, 3), 0.022, np.float32)
    for k, colour in enumerate(linear):
        row, column = divmod(k, 6)
        left, top = RIM_MM + column * (PATCH_MM + GAP_MM), RIM_MM + row * (PATCH_MM + GAP_MM)
        x0, y0, x1, y1 = (round(v * scale) for v in (left, top, left + PATCH_MM, top + PATCH_MM))
        texture[y0:y1, x0:x1] = colour
    across = (
        np.linspace(0, 1, shape[1])[None, :, None] * 0.8 + np.linspace(0, 1, shape[0])[:, None, None] * 0.2
    )
    texture *= (light_ratio**-across).astype(np.float32)
    wide, tall = 1500, 1150
    corners = np.array([[212.0, 176.0], [1305.0, 118.0], [1338.0, 905.0], [236.0, 968.0]])
    frame = np.float32([[0, 0], [shape[1], 0], [shape[1], shape[0]], [0, shape[0]]]) - 0.5
    move = cv2.getPerspectiveTransform(frame, np.float32(corners - 0.5))
    image = np.full((tall, wide, 3), 0.3, np.float32)
    cv2.warpPerspective(texture, move, (wide, tall), dst=image, borderMode=cv2.BORDER_TRANSPARENT)
    image = cv2.GaussianBlur(image, (0, 0), 1.1) * np.float32([1.06, 1.0, 0.93]) * 0.95 + 0.003
    image += random.normal(0, 1, image.shape) * np.sqrt(0.0003 * np.clip(image, 0, None) + 4e-6)
    image = np.clip(image, 0, 1)
    coded = np.where(
        image <= 0.0031308, 12.92 * image, 1.055 * np.maximum(image, 1e-9) ** (1 / 2.4) - 0.055
    )
    return np.round(coded * 255).astype(np.uint8), corners
