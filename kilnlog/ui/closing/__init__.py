"""The guided close-out: headings at the left, the one in hand, what stands before the seal at the right."""
