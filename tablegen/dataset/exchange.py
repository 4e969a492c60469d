"""Two folders that change places in one step, so that at no moment neither is there.

References
----------
renameat2(2) with RENAME_EXCHANGE, Linux 3.15 and later; Python offers no way to it.
"""

from __future__ import annotations

import ctypes
import errno
import os
from pathlib import Path

_AT_FDCWD, _RENAME_EXCHANGE = -100, 2
_NOT_OFFERED = (errno.ENOSYS, errno.EINVAL, errno.ENOTSUP)


def exchange(first: Path, second: Path) -> bool:
    """Exchange two paths of one file system; False, and nothing done, where system or file system cannot.

    Raises
    ------
    OSError
        If they could, but not here.
    """
    call = getattr(ctypes.CDLL(None, use_errno=True), "renameat2", None)
    if call is None:
        return False
    if call(_AT_FDCWD, os.fsencode(first), _AT_FDCWD, os.fsencode(second), _RENAME_EXCHANGE) == 0:
        return True
    number = ctypes.get_errno()
    if number in _NOT_OFFERED:
        return False
    raise OSError(number, os.strerror(number), str(second))
