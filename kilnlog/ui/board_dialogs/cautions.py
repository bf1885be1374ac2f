"""What can hurt while sections are dried; said wherever a section goes into the oven."""

HOT_OVEN = (
    "The oven and what comes out of it burn: gloves, and nothing flammable near it. A section left too "
    "long in a microwave chars and can catch fire: low power, short spells, never out of sight. What the "
    "maker of the oven and your local fire code say goes first."
)
