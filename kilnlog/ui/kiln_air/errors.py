"""What is told across the window of a file that is followed."""

from kilnlog.records.errors import KilnlogError


class FollowedFileGone(KilnlogError):
    """A file that is followed is not there any more, or not yet. Values: path."""

    code = "followed-file-gone"


class FollowingStopped(KilnlogError):
    """A file is followed no more.

    Values: why (``other-logbook``, ``charge-closed``, ``failed``), file, charge.
    """

    code = "following-stopped"


class LookFailed(KilnlogError):
    """A look at a followed file failed by a defect of the program, which is its cause. Values: file."""

    code = "look-failed"
