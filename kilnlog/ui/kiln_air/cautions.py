"""What can hurt at a kiln; said wherever somebody is about to set it, vent it or go in."""

HOT_KILN = (
    "Kiln air burns, and steam scalds before it is seen: stand beside a door or a vent, not before it, and "
    "let it clear. Nobody goes in before fans, heat and spray are shut off and locked, the air is fresh, and "
    "somebody outside knows. What the maker of the kiln and your local codes say goes first."
)
LIVE_WIRES = (
    "A wet hand and a live wire do not go together: sensors, fans and heaters are opened only with the power "
    "off and locked, by those who may by your local rules."
)
HOT_WOOD = (
    "Wood in a kiln is hot, and so are a probe's pins. Read at the door or bring the board out; nobody goes "
    "in for a reading while fans, heat or spray run."
)
