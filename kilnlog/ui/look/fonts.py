"""The two bundled faces, and what stands in for them where they cannot be loaded."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtGui import QFontDatabase

from kilnlog.reference.resources import resource

SANS = "Source Sans 3"
SERIF = "Source Serif 4"
FILES = (
    "SourceSans3_400Regular.ttf",
    "SourceSans3_500Medium.ttf",
    "SourceSans3_600SemiBold.ttf",
    "SourceSerif4_600SemiBold.ttf",
    "SourceSerif4_400Regular_Italic.ttf",
)


@dataclass(frozen=True, slots=True)
class Faces:
    """The family names the window uses. Figures are tabular in all of them."""

    sans: str
    serif: str


def load_faces() -> Faces:
    """Hand the bundled files to Qt; needs a QGuiApplication. Falls back to DejaVu, face by face."""
    loaded: set[str] = set()
    for name in FILES:
        try:
            data = resource("fonts", name).read_bytes()
        except OSError:
            continue
        number = QFontDatabase.addApplicationFontFromData(data)
        if number >= 0:
            loaded.update(QFontDatabase.applicationFontFamilies(number))
    return Faces(
        sans=SANS if SANS in loaded else "DejaVu Sans", serif=SERIF if SERIF in loaded else "DejaVu Serif"
    )
