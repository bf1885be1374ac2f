"""What was observed: frozen value objects, as typed, with unit. No arithmetic but conversion."""
