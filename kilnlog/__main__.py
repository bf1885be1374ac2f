"""Run ``python -m kilnlog`` as ``kilnlog``."""

from kilnlog.cli import main

main()
