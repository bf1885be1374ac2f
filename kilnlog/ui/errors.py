"""Why no window can be shown. No Qt here: this is told where Qt itself is missing."""

from kilnlog.records.errors import KilnlogError

#: What Qt needs beside itself on Debian 12 and 13 without a desktop; the second line is for X windows.
DEBIAN_PACKAGES = (
    "libgl1 libegl1 libxkbcommon0 libfontconfig1 libglib2.0-0 libdbus-1-3 "
    "libxkbcommon-x11-0 libxcb-cursor0 libxcb-icccm4 libxcb-keysyms1 libxcb-shape0"
)


class MissingSystemLibrary(KilnlogError):
    """A library of the system that Qt needs is not there. Values: library, packages."""

    code = "missing-system-library"


class NoDisplay(KilnlogError):
    """No display to show a window on. Values: why (``none``, ``unreachable``), display."""

    code = "no-display"


class PictureNotSaved(KilnlogError):
    """A picture could not be written. Values: name, folder."""

    code = "picture-not-saved"
