"""What can be done to sample boards: cut, dried, recut, broken, withdrawn, corrected, taken back."""
