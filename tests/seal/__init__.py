"""The seal against damage and tampering, checked from outside too."""
