"""Who else on this machine can look into what is served."""

from __future__ import annotations

import os
from pathlib import Path


def others_can_read(folder: Path) -> bool:
    """Whether others on this machine can look into a folder."""
    return os.name == "posix" and bool(folder.stat().st_mode & 0o077)
