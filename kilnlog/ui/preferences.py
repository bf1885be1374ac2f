"""How the operator likes the window. Kept beside other programs' settings, never in the logbook."""

from __future__ import annotations

import json
import os
from dataclasses import asdict, dataclass, fields, replace
from pathlib import Path

from platformdirs import user_config_path

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.sizes import NAMES
from kilnlog.ui.look.tokens import TOKENS

#: Whether earlier curves are drawn.
SHOWN, HIDDEN = "shown", "hidden"


@dataclass(frozen=True, slots=True)
class Preferences:
    """What is remembered from one start to the next."""

    mode: str = "light"
    size_name: str = "regular"
    last_file: str | None = None
    geometry: str | None = None  # as Qt saves it, in base 64
    earlier_curves: str = SHOWN


def preferences_path() -> Path:
    """Where they are kept."""
    return user_config_path("kilnlog", appauthor=False) / "window.json"


def load_preferences(path: Path) -> Preferences:
    """What was kept; what cannot be read, or is no longer known, falls back to the default."""
    try:
        kept = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return Preferences()
    if not isinstance(kept, dict):
        return Preferences()
    texts = {
        field.name: kept[field.name] for field in fields(Preferences) if isinstance(kept.get(field.name), str)
    }
    if texts.get("mode") not in TOKENS:
        texts.pop("mode", None)
    if texts.get("size_name") not in NAMES:
        texts.pop("size_name", None)
    if texts.get("earlier_curves") not in (SHOWN, HIDDEN):
        texts.pop("earlier_curves", None)
    return Preferences(**texts)


def earlier_curves_word(appearance: Appearance) -> str:
    """How the choice is written down."""
    return SHOWN if appearance.earlier_curves else HIDDEN


def save_preferences(preferences: Preferences, path: Path) -> None:
    """Keep them; a folder that cannot be written loses them silently, as they are only a convenience."""
    beside = path.with_name(f"{path.name}.new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        # Killed half-way, the file before is still whole.
        beside.write_text(json.dumps(asdict(preferences), indent=1), encoding="utf-8")
        os.replace(beside, path)
    except OSError:
        return


def keep_look(appearance: Appearance, path: Path) -> None:
    """From now on keep every choice of the look as it is made: a program that is killed says no farewell."""

    def keep() -> None:
        kept = load_preferences(path)
        look = replace(kept, mode=appearance.mode, size_name=appearance.size_name)
        save_preferences(replace(look, earlier_curves=earlier_curves_word(appearance)), path)

    appearance.changed.connect(keep)
