"""What can hurt while pieces are tested and lumber is counted; said where the work is begun."""

from __future__ import annotations

SAWING = (
    "Test pieces are short: saw them with the guard on, held by a clamp or a jig and never by hand near the "
    "blade; dust out of the air and off the floor. What the maker of the saw and your own rules say goes "
    "first."
)
COUNTING = (
    "Packs are heavy and may shift: lift with a truck or with two, and stand clear of what is being lifted."
)
