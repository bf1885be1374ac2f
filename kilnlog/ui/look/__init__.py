"""How the window looks: its colours, faces, sizes, marks and basic widgets."""
