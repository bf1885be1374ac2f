"""The colours: contrast by WCAG 2, and the boards' hues told apart by every kind of sight.

Contrast: W3C, Web Content Accessibility Guidelines 2.1, success criteria 1.4.3 (text, 4.5 : 1) and 1.4.11
(marks, 3 : 1), with its definition of relative luminance.
Sight: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A Physiologically-based Model for Simulation of
Color Vision Deficiency", IEEE TVCG 15(6), 2009, matrices at severity 1.0, applied to linear sRGB. The
matrices are written from memory; that each row sums to 1 (greys stay grey) is checked below.
CIELAB: CIE 15:2004, white D65; the distance is that of 1976.
"""

import itertools

import numpy as np
import pytest

from kilnlog.ui.look.tokens import DARK, LIGHT, TOKENS, Tokens

MACHADO = {
    "protanopia": [
        [0.152286, 1.052583, -0.204868],
        [0.114503, 0.786281, 0.099216],
        [-0.003882, -0.048116, 1.051998],
    ],
    "deuteranopia": [
        [0.367322, 0.860646, -0.227968],
        [0.280085, 0.672501, 0.047413],
        [-0.011820, 0.042940, 0.968881],
    ],
    "tritanopia": [
        [1.255528, -0.076749, -0.178779],
        [-0.078411, 0.930809, 0.147602],
        [0.004733, 0.691367, 0.303900],
    ],
}
#: IEC 61966-2-1, linear sRGB to XYZ.
TO_XYZ = np.array(
    [[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750], [0.0193339, 0.1191920, 0.9503041]]
)
WHITE = TO_XYZ @ np.ones(3)

TEXT_ON_PAGES = ("ink", "ink2", "pencil", "act", "look", "note", "done", "now", "focus", "dry", "wet")
PAGE_GROUNDS = ("sheet", "sheet2", "field")
BOARDS = ("s1", "s2", "s3", "s4", "s5", "s6")


def linear(colour: str) -> np.ndarray:
    rgb = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255
    return np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)


def luminance(colour: str) -> float:
    return float(linear(colour) @ np.array([0.2126, 0.7152, 0.0722]))


def contrast(one: str, other: str) -> float:
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def lab(rgb: np.ndarray) -> np.ndarray:
    ratio = (TO_XYZ @ rgb) / WHITE
    f = np.where(ratio > (6 / 29) ** 3, np.cbrt(ratio), ratio / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def seen(colour: str, sight: str) -> np.ndarray:
    rgb = linear(colour)
    if sight != "normal":
        rgb = np.clip(np.array(MACHADO[sight]) @ rgb, 0, 1)
    return lab(rgb)


def test_contrast_of_black_on_white_is_21():
    # WCAG 2.1: "contrast ratios can range from 1 to 21"
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21)


@pytest.mark.parametrize("rows", MACHADO.values(), ids=MACHADO)
def test_simulated_sight_leaves_greys_grey(rows):
    assert np.sum(rows, axis=1) == pytest.approx([1, 1, 1], abs=2e-6)


@pytest.mark.parametrize("mode", TOKENS)
@pytest.mark.parametrize("ground", PAGE_GROUNDS)
@pytest.mark.parametrize("text", TEXT_ON_PAGES)
def test_text_on_a_page_is_read(mode, ground, text):
    tokens = TOKENS[mode]
    assert contrast(getattr(tokens, text), getattr(tokens, ground)) >= 4.5


#: Pairings beside the plain page that the window makes: text, ground.
OTHER_TEXT = [
    *[(text, "desk") for text in ("ink", "ink2", "pencil", "act", "look", "done")],
    *[(text, "chosen") for text in ("ink", "ink2", "pencil", "act", "look", "note", "done", "focus")],
    *[(text, "act_bg") for text in ("ink", "ink2", "act")],
    *[(text, "look_bg") for text in ("ink", "ink2", "look", "pencil")],
    *[(text, "step_b") for text in ("ink", "ink2", "now", "pencil", "wet", "dry")],
    ("ink", "band"),
    ("on_cloth", "cloth"),
    ("on_cloth2", "cloth"),
    ("on_cloth", "cloth2"),
    ("on_cloth2", "cloth2"),
    ("act_on", "cloth"),
    ("look_on", "cloth"),
    ("note_on", "cloth"),
]


@pytest.mark.parametrize("mode", TOKENS)
@pytest.mark.parametrize(("text", "ground"), OTHER_TEXT)
def test_text_elsewhere_is_read(mode, text, ground):
    tokens = TOKENS[mode]
    assert contrast(getattr(tokens, text), getattr(tokens, ground)) >= 4.5


MARKS = [
    *[("edge", ground) for ground in ("sheet", "sheet2", "field", "desk", "chosen", "step_b")],
    *[(board, ground) for board in BOARDS for ground in ("sheet", "step_b")],
    *[("focus", ground) for ground in ("sheet", "field", "chosen", "look_bg", "act_bg", "desk")],
    ("act", "desk"),
    ("now", "step_b"),
    ("now", "desk"),
]


@pytest.mark.parametrize("mode", TOKENS)
@pytest.mark.parametrize(("mark", "ground"), MARKS)
def test_marks_are_seen(mode, mark, ground):
    tokens = TOKENS[mode]
    assert contrast(getattr(tokens, mark), getattr(tokens, ground)) >= 3


@pytest.mark.parametrize("sight", ["normal", *MACHADO])
@pytest.mark.parametrize("tokens", [LIGHT, DARK], ids=["light", "dark"])
def test_any_two_boards_are_told_apart(tokens: Tokens, sight):
    distances = {
        (one, other): float(
            np.linalg.norm(seen(getattr(tokens, one), sight) - seen(getattr(tokens, other), sight))
        )
        for one, other in itertools.combinations(BOARDS, 2)
    }
    closest = min(distances, key=distances.__getitem__)
    assert distances[closest] >= 21, (closest, distances[closest])
