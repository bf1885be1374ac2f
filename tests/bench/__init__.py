"""How quick the program is beside a bare peer doing the same in the same run: ``python -m tests.bench``."""
