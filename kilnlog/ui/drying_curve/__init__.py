"""The drying curve: moisture of each board over time, the control, the target, and what to do now."""
