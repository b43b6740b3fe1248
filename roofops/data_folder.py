"""The data folder: where an embedded roofops keeps its database, queue, photos, logs and secret key."""

import contextlib
import os
from pathlib import Path

from django.core.management.utils import get_random_secret_key

SUBFOLDERS = ("photos", "queue/in", "queue/control", "tmp", "logs", "static")
KEY_FILE = "secret-key"


def prepare_data_folder(folder: Path) -> Path:
    """Return the absolute folder, made with its subfolders where they were missing.

    Raises
    ------
    OSError
        The folder cannot be made or written.
    """
    folder = folder.expanduser().resolve()
    for name in SUBFOLDERS:
        (folder / name).mkdir(parents=True, exist_ok=True)
    return folder


def secret_key(folder: Path) -> str:
    """Return the secret key of this installation, made on the first start and readable by its owner only."""
    path = folder / KEY_FILE
    if not path.exists():
        _make_secret_key(folder)
    return path.read_text(encoding="utf-8").strip()


def _make_secret_key(folder: Path) -> None:
    """Write a new key beside its place and link it there whole.

    Of two processes that start at once one wins; the other keeps the winner's key and never reads half a file.
    """
    draft = folder / f"{KEY_FILE}.{os.getpid()}"
    handle = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(handle, "w", encoding="utf-8") as file:
        file.write(get_random_secret_key())
    with contextlib.suppress(FileExistsError):
        os.link(draft, folder / KEY_FILE)
    draft.unlink()
