"""Can a window be shown here? Asked before Qt is started, which would end the process instead of saying."""

from __future__ import annotations

import ctypes
import os
import sys
from collections.abc import Mapping
from importlib import import_module
from pathlib import Path
from types import ModuleType

from kilnlog.records.errors import KilnlogError
from kilnlog.ui.errors import DEBIAN_PACKAGES, MissingSystemLibrary, NoDisplay


def can_show(environment: Mapping[str, str] = os.environ) -> KilnlogError | None:
    """None if a window can be shown, else the reason, worded by the catalogue.

    On systems that do not use X or Wayland only the libraries are asked about.
    """
    try:
        widgets = import_module("PySide6.QtWidgets")
    except ImportError as error:
        return MissingSystemLibrary(library=library_named(str(error)), packages=DEBIAN_PACKAGES)
    chosen = environment.get("QT_QPA_PLATFORM", "")
    if not sys.platform.startswith("linux") or (chosen and not chosen.startswith("xcb")):
        return None
    if environment.get("WAYLAND_DISPLAY") and not chosen:
        return None
    display = environment.get("DISPLAY", "")
    if not display:
        return NoDisplay(why="none", display="")
    return _missing_for_x(widgets) or _unreachable(display)


def library_named(loader_says: str) -> str:
    """The library out of the loader's message, which begins with it: ``libEGL.so.1: cannot open ...``."""
    return loader_says.partition(":")[0].strip()


def _missing_for_x(widgets: ModuleType) -> KilnlogError | None:
    """Load Qt's plug-in for X as Qt will, and hear what it lacks."""
    plugin = Path(str(widgets.__file__)).parent / "Qt" / "plugins" / "platforms" / "libqxcb.so"
    if not plugin.exists():
        return None  # a Qt of the system's own; it keeps its plug-ins elsewhere and brings what they need
    try:
        ctypes.CDLL(str(plugin))
    except OSError as error:
        return MissingSystemLibrary(library=library_named(str(error)), packages=DEBIAN_PACKAGES)
    return None


def _unreachable(display: str) -> KilnlogError | None:
    """Knock at the display by the library that Qt will use."""
    try:
        xcb = ctypes.CDLL("libxcb.so.1")
    except OSError as error:
        return MissingSystemLibrary(library=library_named(str(error)), packages=DEBIAN_PACKAGES)
    xcb.xcb_connect.restype = ctypes.c_void_p
    xcb.xcb_connect.argtypes = [ctypes.c_char_p, ctypes.POINTER(ctypes.c_int)]
    xcb.xcb_connection_has_error.argtypes = [ctypes.c_void_p]
    xcb.xcb_disconnect.argtypes = [ctypes.c_void_p]
    connection = xcb.xcb_connect(display.encode(), None)
    failed = bool(xcb.xcb_connection_has_error(connection))
    xcb.xcb_disconnect(connection)
    return NoDisplay(why="unreachable", display=display) if failed else None
