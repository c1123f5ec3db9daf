"""Colours as seen by eyes that lack a kind of cone, and in grey.

The matrices are those of G. M. Machado, M. M. Oliveira and L. A. F. Fernandes, "A
Physiologically-based Model for Simulation of Color Vision Deficiency", IEEE Transactions on
Visualization and Computer Graphics 15 (6), 2009, severity 1.0; they act on linear RGB.
"""

from __future__ import annotations

Triple = tuple[float, float, float]
Matrix = tuple[Triple, Triple, Triple]

EYES: dict[str, Matrix] = {
    "usual": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    "protanopia": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deuteranopia": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "tritanopia": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
    # Luminance of sRGB, IEC 61966-2-1.
    "grey": ((0.2126, 0.7152, 0.0722),) * 3,
}


def linear(colour: str) -> Triple:
    """``#rrggbb`` or ``#rgb`` as linear RGB, IEC 61966-2-1."""
    digits = colour.lstrip("#")
    if len(digits) == 3:
        digits = "".join(2 * digit for digit in digits)
    parts = [int(digits[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    r, g, b = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return (r, g, b)


def seen(colour: str, eyes: str) -> Triple:
    """Linear RGB as these eyes see it."""
    rgb = linear(colour)
    r, g, b = (
        min(max(sum(m * c for m, c in zip(row, rgb, strict=True)), 0.0), 1.0) for row in EYES[eyes]
    )
    return (r, g, b)


def luminance(rgb: Triple) -> float:
    """Relative luminance, WCAG 2.1."""
    return 0.2126 * rgb[0] + 0.7152 * rgb[1] + 0.0722 * rgb[2]


def contrast(a: str, b: str, eyes: str = "usual") -> float:
    """Contrast ratio of WCAG 2.1, as these eyes see it: 1 to 21."""
    high, low = sorted((luminance(seen(a, eyes)), luminance(seen(b, eyes))), reverse=True)
    return (high + 0.05) / (low + 0.05)
