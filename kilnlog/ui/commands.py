"""A command: one line of a menu, with its key, and when it can work."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Protocol, runtime_checkable


class MenuName(StrEnum):
    """The menus, in the order they stand."""

    LOGBOOK = "Logbook"
    CHARGE = "Charge"
    BOARD = "Board"
    AIR = "Air"
    PAPERS = "Papers"
    VIEW = "View"
    HELP = "Help"


def _always() -> bool:
    return True


@dataclass(frozen=True)
class Command:
    """One command. ``writes``: absent where the logbook is open for reading only."""

    menu: MenuName
    text: str
    run: Callable[[], object]
    key: str = ""
    possible: Callable[[], bool] = _always
    writes: bool = False
    checked: Callable[[], bool] | None = None  # for a choice: whether it is the one chosen
    begins_group: bool = False  # a rule stands above it
    last: bool = False  # at its menu's end, whatever the views add


@runtime_checkable
class HasKeys(Protocol):
    """A view that tells the foot which keys work in it; ``keys_changed``, if it has it, that others do."""

    def keys(self) -> tuple[tuple[str, str], ...]:
        """Key caps and what they do, most used first."""


@runtime_checkable
class HoldsTyped(Protocol):
    """A view in which something can stand typed that is not kept."""

    def unkept(self) -> tuple[str, ...]:
        """What it is, in words."""


@runtime_checkable
class DropsTyped(Protocol):
    """A view in which undo begins with what stands typed."""

    def drop_typed(self) -> bool:
        """Drop what stands typed where the keys are; whether there was any."""


@runtime_checkable
class HasCommands(Protocol):
    """A view that has commands of its own for the menus."""

    def commands(self) -> tuple[Command, ...]:
        """Its commands, in order."""
