"""The charge register: all charges, and the particulars of the one in hand."""
