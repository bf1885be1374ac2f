"""Windows are drawn in memory: the tests need no display, and do not flash across one that is there."""

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
