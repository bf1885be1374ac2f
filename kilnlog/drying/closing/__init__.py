"""What was found at the end of a charge: moisture, stress, defects, heat, tally."""
