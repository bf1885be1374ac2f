"""What is seen over all charges: compared side by side, kilns in use, what is due."""
