"""Ties a child process to its parent, so that even `kill -9` of the parent leaves no orphan."""

import ctypes
import os
import signal
import sys

PR_SET_PDEATHSIG = 1

# Loaded at import: a freshly forked child should not load libraries.
_libc = ctypes.CDLL(None, use_errno=True) if sys.platform == "linux" else None


def die_with_parent(signal_number: int = signal.SIGKILL) -> None:
    """Ask the kernel to send this process a signal when the thread that made it ends.

    Call it first in a child process (after fork, or as `preexec_fn`); does nothing on systems other than Linux.
    """
    if _libc is None:
        return
    parent = os.getppid()
    _libc.prctl(PR_SET_PDEATHSIG, signal_number, 0, 0, 0)
    if parent == 1 and os.getpid() != 1:
        # Inside a container a living parent may well be process 1; there is nothing to tell the two cases apart.
        return
    if os.getppid() != parent:  # it ended between the two lines above
        os.kill(os.getpid(), signal_number)
