"""What can hurt as a charge comes out and its pieces are tested; said where the work is begun."""

UNLOADING = (
    "Kiln and lumber are hot as they come out, and the air in the kiln is: let it cool with the doors open, "
    "nobody inside before fans, heat and spray are shut off and locked and somebody outside knows. Gloves; "
    "packs are heavy and may shift: lift with a truck or with two. What the maker of the kiln, your local "
    "codes and your own rules say goes first."
)
OVEN = (
    "The oven and what comes out of it burn: gloves, and nothing flammable near it. Saw with the guard on; "
    "dust and offcuts away from the oven. What the maker of the oven and your local fire code say goes first."
)
